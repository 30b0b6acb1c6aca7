import { expect } from 'vitest'
import type { inLimits } from './in-limits.ts'

/** Reads an input, which must be answered by a value or by problems that say what is wrong, within the limits. */
export async function held(
  limits: ReturnType<typeof inLimits>,
  reader: string,
  bytes: Buffer,
  what = '',
): Promise<void> {
  const outcome = await limits.read(reader, bytes)
  const shown = bytes.length > 3000 ? `${bytes.length} bytes` : bytes.toString('base64')
  const input = `${reader} ${what}: ${'message' in outcome ? outcome.message : ''} ${shown}`
  expect(outcome.kind, input).toMatch(/^(value|problems)$/)
  if (outcome.kind !== 'problems') return
  expect(outcome.problems.length, input).toBeGreaterThan(0)
  for (const { code, message } of outcome.problems) {
    expect(code, input).toMatch(/^[a-zA-Z]+$/)
    expect(message, input).toMatch(/\S{2}/)
    expect(message.length, input).toBeLessThan(1300)
    // What is written in a language of ours is told by its place.
    if (code === 'formula' || code === 'equation') expect(message, input).toMatch(/character \d+|longer than/)
    if (code === 'notANumber' && reader === 'trace') expect(message, input).toMatch(/Row \d+|too large/)
  }
}
