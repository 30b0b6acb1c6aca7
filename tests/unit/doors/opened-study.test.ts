import { mkdirSync, mkdtempSync, rmSync, truncateSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { pathToFileURL } from 'node:url'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { keepOpenedStudy } from '../../../electron/desktop/opened-study.ts'
import { dataOption, studyFileAmong } from '../../../electron/desktop/start-words.ts'

const folder = resolve('/studies')

describe('the words that the program is started with', () => {
  test.each([
    [[], null],
    [['.', '--no-sandbox'], null],
    [['bead.evenfilm'], 'bead.evenfilm'],
    [['.', '--no-sandbox', 'Bead 2.EVENFILM'], 'Bead 2.EVENFILM'],
    [['--data', 'lab.evenfilm'], null],
    [['--data=lab.evenfilm', 'bead.evenfilm'], 'bead.evenfilm'],
    [['--data', 'lab.evenfilm', 'bead.evenfilm', 'second.evenfilm'], 'bead.evenfilm'],
    [['runs.csv', 'https://elsewhere.example/bead.evenfilm.html'], null],
    [['file://elsewhere.example/%zz.evenfilm'], null],
  ])('%j name the study’s file %s', (words, file) => {
    expect(studyFileAmong(words, folder)).toBe(file === null ? null : join(folder, file))
  })

  test('name it by an address too, as a desktop of Linux does', () => {
    const file = join(folder, 'Kanten & Ränder.evenfilm')
    expect(studyFileAmong(['--no-sandbox', pathToFileURL(file).href], '/elsewhere')).toBe(file)
  })

  test('name the database', () => {
    expect(dataOption(['.', '--data', 'lab.db'])).toBe('lab.db')
    expect(dataOption(['--data=lab.db', '.'])).toBe('lab.db')
    expect(dataOption(['lab.db'])).toBeUndefined()
  })
})

describe('a study’s file that is opened from the system', () => {
  let place: string
  beforeAll(() => {
    place = mkdtempSync(join(tmpdir(), 'evenfilm-opened-'))
  })
  afterAll(() => rmSync(place, { recursive: true, force: true }))

  test('is handed over once, whatever it holds; a later one takes the place of one that was not taken', () => {
    const opened = keepOpenedStudy()
    expect(opened.take()).toEqual({ ok: true, value: null })
    const [first, second] = ['first.evenfilm', 'second.evenfilm'].map((name) => join(place, name))
    writeFileSync(first as string, 'first')
    writeFileSync(second as string, Buffer.from([0, 255, 10]))
    opened.put(first as string)
    opened.put(second as string)
    expect(opened.take()).toEqual({ ok: true, value: { fileName: 'second.evenfilm', bytes: 'AP8K' } })
    expect(opened.take()).toEqual({ ok: true, value: null })
  })

  test('is refused where it is none, a folder, or larger than any study', () => {
    const opened = keepOpenedStudy()
    const codeOf = (path: string) => {
      opened.put(path)
      const answer = opened.take()
      return answer.ok ? 'taken' : answer.problems[0]?.code
    }
    expect(codeOf(join(place, 'gone.evenfilm'))).toBe('cannotRead')
    mkdirSync(join(place, 'folder.evenfilm'))
    expect(codeOf(join(place, 'folder.evenfilm'))).toBe('cannotRead')
    const huge = join(place, 'huge.evenfilm')
    writeFileSync(huge, '')
    truncateSync(huge, 300_000_001)
    expect(codeOf(huge)).toBe('fileTooLarge')
  })
})
