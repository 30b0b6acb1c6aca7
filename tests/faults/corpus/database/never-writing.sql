DELETE FROM writing;
