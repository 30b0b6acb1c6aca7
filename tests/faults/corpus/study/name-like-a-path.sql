UPDATE study SET name = '../../etc/' || char(0) || 'CON .';
