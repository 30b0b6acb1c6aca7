UPDATE writing SET step = 1;
