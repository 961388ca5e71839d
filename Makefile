# Thin aliases of dev.py, which works without make.
.PHONY: demo test check bench
demo test check bench:
	python3 dev.py $@
