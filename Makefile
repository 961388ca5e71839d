# Thin aliases of dev.py, which works without make.
.PHONY: demo open test check docs bench soak
demo open test check docs bench soak:
	python3 dev.py $@
