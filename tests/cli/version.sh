blankwright --version
blankwright plan --version
