CREATE TABLE "a""b" (x);
