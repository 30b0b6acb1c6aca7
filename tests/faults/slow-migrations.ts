/** Two migrations for tests, as a later version may bring: each adds a table and fills it from what is there. */
export const slowMigrations: readonly string[] = ['later', 'latest'].map(
  (name) => `
    CREATE TABLE ${name} (id TEXT PRIMARY KEY, text TEXT NOT NULL) STRICT;
    INSERT INTO ${name}
      WITH RECURSIVE copy (n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM copy WHERE n < 300)
      SELECT run.id || n, hex(randomblob(50)) FROM run, copy;
    ALTER TABLE run ADD COLUMN ${name} TEXT;`,
)
