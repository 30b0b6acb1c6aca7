UPDATE run SET settings = '[1e999, {"__proto__": {"a": 1}}]';
