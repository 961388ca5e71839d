# Thin aliases of dev.py, which works without make.
.PHONY: demo open test check docs bench
demo open test check docs bench:
	python3 dev.py $@
