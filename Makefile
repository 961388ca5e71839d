# Thin aliases of dev.py, which works without make.
.PHONY: demo open test check bench
demo open test check bench:
	python3 dev.py $@
