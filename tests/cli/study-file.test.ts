import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { testFolder } from '../engine/engine-in-folder.ts'
import { evenfilmHere, refusalOf } from './evenfilm.ts'

test('a study goes from one database to another, and more of it later; verify knows it by its hash', async () => {
  const folder = testFolder()
  const at = (name: string) => join(folder, name)
  const said = async (args: string[]) => {
    const ended = await evenfilmHere(args)
    expect(ended.exit, ended.stderr).toBe(0)
    return ended
  }
  const runs = (name: string, rows: string) => {
    writeFileSync(at(name), `run,speed (rpm),thickness (nm)\n${rows}\n`)
    return at(name)
  }
  const here = ['--data', at('here.db')]
  const there = ['--data', at('there.db')]
  const study = ['--study', 'Sweep']
  await said(['import', runs('a.csv', 'R1,3000,1500'), ...here, ...study, '--new'])
  const [whole, more] = [at('sweep.evenfilm'), at('more.evenfilm')]
  await said(['export', ...here, ...study, '--whole', whole])
  expect((await said(['bring', whole, ...there, '--look'])).stdout).toContain('Sweep: 1 run, 1 reading')
  expect((await said(['bring', whole, ...there])).stdout).toContain('1 run and 1 reading came in.')
  await said(['import', runs('b.csv', 'R2,3500,1390'), ...there, ...study])
  await said(['export', ...there, ...study, '--whole', more])
  expect(await refusalOf(['bring', more, ...here])).toMatchObject({ codes: ['studyIsHere'] })
  expect((await said(['bring', more, ...here, '--add'])).stdout).toContain('1 run and 1 reading came in.')
  const csv = at('out.csv')
  await said(['export', ...here, ...study, '--readings', csv])
  expect(readFileSync(csv, 'utf8')).toContain('1390')

  const hashes: string[] = []
  for (const file of [at('here.db'), at('there.db'), more]) {
    const { stdout } = await said(['verify', '--data', file, '--json'])
    hashes.push(JSON.parse(stdout).studies[0].hash)
  }
  expect(hashes[1]).toBe(hashes[2])
  expect((await said(['verify', ...there, ...study, '--hash', hashes[1]!])).stdout).toContain('is whole')
  expect(await refusalOf(['verify', ...there, ...study, '--hash', 'f'.repeat(64)])).toMatchObject({
    codes: ['otherData'],
  })
}, 60_000)

test('verify names what is damaged, a backup too, and changes nothing', async () => {
  const folder = testFolder()
  const [data, csv] = [join(folder, 'a.db'), join(folder, 'a.csv')]
  writeFileSync(csv, 'run,speed,thickness\nR1,3000,1500\n')
  await evenfilmHere(['import', csv, '--data', data, '--study', 'Sweep', '--new'])
  const { name } = JSON.parse((await evenfilmHere(['backup', '--data', data, '--json'])).stdout) as {
    name: string
  }
  const spoil = (file: string) => {
    const bytes = readFileSync(file)
    bytes.fill(0xa5, 2 * 4096, 6 * 4096)
    writeFileSync(file, bytes)
    return bytes
  }
  spoil(join(folder, name))
  const ended = await evenfilmHere(['verify', '--data', data])
  expect(ended.stdout).toContain('The database is whole.')
  expect(ended.stderr).toContain(name)
  const bad = spoil(data)
  expect(await refusalOf(['verify', '--data', data])).toMatchObject({ codes: ['databaseDamaged'] })
  expect(readFileSync(data).equals(bad)).toBe(true)
  expect(await refusalOf(['verify', '--data', csv])).toMatchObject({ codes: ['notADatabase'] })
  expect(await refusalOf(['verify', '--data', data, '--hash', 'a'])).toMatchObject({
    codes: ['missingOption'],
  })
})
