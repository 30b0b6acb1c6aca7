UPDATE step SET target = id, kind = 'undo';
