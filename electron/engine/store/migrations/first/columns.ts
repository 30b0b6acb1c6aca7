/** A column of finite numbers: STRICT tables would take Infinity. */
export const real = (name: string, more = '') =>
  `${name} REAL ${more} CHECK (${name} > -9e999 AND ${name} < 9e999)`.replace('  ', ' ')
export const flag = (name: string) => `${name} INTEGER NOT NULL DEFAULT 0 CHECK (${name} IN (0, 1))`
export const json = (name: string, more = 'NOT NULL') => `${name} TEXT ${more} CHECK (json_valid(${name}))`
