import type { Random } from '../../../shared/random.ts'

/** What readers of text stumble over. */
const pieces = [
  ...[
    '',
    '\0',
    '\n',
    '\r',
    '\r\n',
    '\t',
    ' ',
    '"',
    '""',
    "'",
    ',',
    ';',
    ':',
    '=',
    '(',
    ')',
    '((((',
    '[',
    ']',
    '~',
    '^',
  ],
  ...[
    '^9^9^9',
    '1e999',
    '-0',
    '1e-400',
    '0x1f',
    'NaN',
    '−',
    '·',
    '×',
    '|',
    '%',
    '\\',
    '/',
    '..',
    '1.234',
    '1,5',
    '１',
    '²',
  ],
  ...[
    '__proto__',
    'constructor',
    'toString',
    'log(',
    'exp(',
    'speed',
    'thickness',
    ' and ',
    'not ',
    '--model',
    '--json',
  ],
  ...['\u202E', '\u200B', '\uFEFF', '\uFFFF', '\u0301', '👩‍🔬', '\x1b[31m', '\u009B31m', '<script>', '=1+1'],
].map((piece) => Buffer.from(piece))

/** Bytes with some of them changed, cut, doubled, or taken from another input. */
export function mutated(bytes: Buffer, others: readonly Buffer[], random: Random): Buffer {
  let changed = Buffer.from(bytes)
  const { below } = random
  for (let times = 1 + below(6); times > 0; times--) {
    const at = below(changed.length + 1)
    const to = Math.min(changed.length, at + below(20))
    const [before, part, after] = [changed.subarray(0, at), changed.subarray(at, to), changed.subarray(to)]
    const other = others[below(others.length)] ?? bytes
    const from = below(other.length + 1)
    const put = [
      () => Buffer.of(below(256)),
      () => Buffer.alloc(0),
      () => Buffer.concat([part, part, part]),
      () => pieces[below(pieces.length)] as Buffer,
      () => Buffer.concat(Array.from({ length: below(200) }, () => pieces[below(3) + 10] as Buffer)),
      () => other.subarray(from, from + below(60)),
    ][below(6)] as () => Buffer
    changed = Buffer.concat([before, put(), after])
  }
  return changed
}
