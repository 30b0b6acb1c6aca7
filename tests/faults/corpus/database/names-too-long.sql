UPDATE study SET name = printf('%.*c', 5000000, 'x');
