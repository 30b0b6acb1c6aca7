/** A piece of a formula, with the place of its first character, counted from 1. */
export type Token = {
  kind: 'name' | 'quoted' | 'number' | 'sign' | 'unreadable' | 'end'
  text: string
  at: number
}

const patterns: [Token['kind'], RegExp][] = [
  ['quoted', /"(?:[^"]|"")*"/uy],
  ['name', /\p{N}*[\p{L}_][\p{L}\p{N}_]*/uy],
  ['number', /\d+(?:\.\d+(?![\p{L}\p{N}_]))?/uy],
  ['sign', /[-+*/.:^()~\u2212\u00B7\u00D7]/uy],
]

/** Signs that word processors put in place of ours. */
const meant: Record<string, string> = { '\u2212': '-', '\u00B7': '.', '\u00D7': '*', ':': '.' }

/** Splits a formula into its pieces; spaces only part them. The last piece is the end. */
export function formulaTokens(text: string): Token[] {
  const tokens: Token[] = []
  let at = 0
  while (at < text.length) {
    if (/\s/u.test(text.charAt(at))) {
      at++
      continue
    }
    const token = tokenAt(text, at)
    tokens.push(token)
    if (token.kind === 'unreadable') break
    at += token.text.length
  }
  tokens.push({ kind: 'end', text: '', at: text.length + 1 })
  return tokens.map((token) =>
    token.kind === 'sign' ? { ...token, text: meant[token.text] ?? token.text } : token,
  )
}

function tokenAt(text: string, at: number): Token {
  for (const [kind, pattern] of patterns) {
    pattern.lastIndex = at
    const found = pattern.exec(text)?.[0]
    if (found !== undefined) return { kind, text: found, at: at + 1 }
  }
  return { kind: 'unreadable', text: [...text.slice(at)][0] ?? '', at: at + 1 }
}
