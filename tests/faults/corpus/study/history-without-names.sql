UPDATE step SET label = '', call = '', who = '', at = '';
