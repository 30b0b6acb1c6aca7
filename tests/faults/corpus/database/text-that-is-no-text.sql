UPDATE study SET name = CAST(x'ff00fe80c0' AS TEXT), question = CAST(x'eda080' AS TEXT);
