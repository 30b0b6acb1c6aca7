import { rmSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { expect, test } from 'vitest'
import { testFolder } from '../engine/engine-in-folder.ts'
import { evenfilmHere, refusalOf } from './evenfilm.ts'

test('a backup is made, listed, looked into and put back, also where the database is gone', async () => {
  const folder = testFolder()
  const [data, csv] = [join(folder, 'a.db'), join(folder, 'runs.csv')]
  writeFileSync(csv, 'run,speed (rpm),thickness (nm)\nR1,3000,1500\nR2,3500,1390\n')
  const on = ['--data', data]
  expect((await evenfilmHere(['import', csv, ...on, '--study', 'Sweep', '--new'])).exit).toBe(0)
  const made = JSON.parse((await evenfilmHere(['backup', ...on, '--json'])).stdout) as { name: string }
  const list = await evenfilmHere(['backup', ...on, '--list'])
  expect(list.stdout.split('\n')[0]).toContain(made.name)
  const inside = await evenfilmHere(['backup', ...on, '--look', made.name])
  expect(inside.stdout).toContain('Sweep: 2 runs, 2 readings')
  rmSync(data)
  expect((await evenfilmHere(['backup', ...on, '--restore', made.name])).exit).toBe(0)
  const out = join(folder, 'out.csv')
  expect((await evenfilmHere(['export', ...on, '--study', 'Sweep', '--runs', out])).exit).toBe(0)
  expect(dirname(out)).toBe(folder)
})

test('two things at once, a backup that there is none of, and no database are refused', async () => {
  const data = join(testFolder(), 'none.db')
  expect(await refusalOf(['backup', '--data', data, '--list', '--look', 'a'])).toMatchObject({
    codes: ['optionsClash'],
  })
  expect(await refusalOf(['backup', '--data', data])).toMatchObject({ codes: ['noSuchFile'] })
  expect(await refusalOf(['backup', '--data', data, '--restore', 'a'])).toMatchObject({
    codes: ['noSuchBackup'],
  })
})
