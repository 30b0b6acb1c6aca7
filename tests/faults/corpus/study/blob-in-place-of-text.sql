UPDATE run SET note = CAST(zeroblob(2000) AS TEXT);
