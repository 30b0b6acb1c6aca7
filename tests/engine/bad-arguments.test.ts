import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { startEngine } from '../../electron/engine/engine.ts'

describe('arguments that the contract refuses', () => {
  let folder: string
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'evenfilm-arguments-'))
  })
  afterEach(() => rmSync(folder, { recursive: true, force: true }))

  test.each([
    [{ name: ' ' }, 'study.name must not be empty.'],
    [{ name: 'A', diameterMm: -1 }, 'study.diameterMm must be more than 0.'],
    [{ name: 'A', diameterMm: Number.NaN }, 'study.diameterMm needs a number.'],
    [{ name: 'A', dummies: 26 }, 'study.dummies must be 25 or less.'],
    [{ name: 'A', dummies: 1.5 }, 'study.dummies needs a whole number.'],
    [{ name: 'A', coaterId: 'x' }, 'study.coaterId is no identifier.'],
    [{ name: 'x'.repeat(201) }, 'study.name must have at most 200 characters.'],
    [{ name: 'A', thicknessUnit: 'mm' }, 'study.thicknessUnit must be one of ‘nm’, ‘Å’, ‘µm’.'],
    [{}, 'study.name is missing.'],
  ])('%j is refused in plain words', async (study, message) => {
    const engine = await startEngine({ databaseFile: join(folder, 'data.db') })
    const answer = await engine.call('studies.create', { study })
    await engine.close()
    expect(answer).toMatchObject({ ok: false, problems: [{ code: 'badArgument', message }] })
  })
})
