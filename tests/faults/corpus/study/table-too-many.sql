CREATE TABLE extra (a, b);
