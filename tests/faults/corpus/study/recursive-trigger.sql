PRAGMA recursive_triggers = ON;
CREATE TRIGGER again AFTER UPDATE ON run BEGIN UPDATE run SET note = note || 'x' WHERE id = NEW.id; END;
