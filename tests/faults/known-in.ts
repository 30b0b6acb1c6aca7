import Sqlite from 'better-sqlite3'
import type { TestEngine } from '../engine/engine-in-folder.ts'
import type { Known } from './arbitrary-arguments.ts'

/** Identifiers and names of what is there, and some of what is not. */
export async function knownIn({ ok, file }: TestEngine, studyId: string): Promise<Known> {
  const db = new Sqlite(file, { readonly: true })
  const ids = [
    'run',
    'reading',
    'stage',
    'recipe',
    'gauge',
    'coater',
    'hotPlate',
    'trace',
    'import',
    'bottle',
  ].flatMap((table) => db.prepare(`SELECT id FROM "${table}" LIMIT 2`).pluck().all() as string[])
  db.close()
  const { factors } = await ok('studies.get', { studyId })
  const models = ['log(thickness) ~ log(speed)', 'thickness ~ speed + speed^2', 'y = a * x^b', 'thickness ~']
  const words = [
    'thickness',
    'nm',
    'A',
    'B',
    'session 1',
    '1500',
    '12..5',
    '',
    '=1+1',
    '__proto__',
    'a\u0000b',
    '𝄞'.repeat(30),
  ]
  return {
    ids: [...Array<string>(12).fill(studyId), ...ids, '00000000-0000-7000-8000-000000000000'],
    words: [...factors.map(({ name }) => name), ...models, ...words],
  }
}
