UPDATE study SET name = printf('%.*c', 1000000, 'x');
