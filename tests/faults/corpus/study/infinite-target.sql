UPDATE study SET targetNm = 9e999;
