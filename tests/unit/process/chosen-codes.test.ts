import { expect, test } from 'vitest'
import { codeWithLetter } from '../../../shared/process/check-letter.ts'
import { chosenCodes } from '../../../shared/process/chosen-codes.ts'

const codes = ['W01', 'W02', 'W03', 'W10', 'A-1', 'A-2', 'lot check 1']
const chosen = (text: string) => chosenCodes(text, 'study', codes)

test.each([
  ['W03, w01', ['W01', 'W03']],
  ['W01 W03', ['W01', 'W03']],
  ['W02–W10', ['W02', 'W03', 'W10']],
  ['W10 - W02; W01', ['W01', 'W02', 'W03', 'W10']],
  ['A-1', ['A-1']],
  ['A-1-A-2', ['A-1', 'A-2']],
  ['W03-A-2', ['W03', 'W10', 'A-1', 'A-2']],
  [`${codeWithLetter('study', 'W02')}–${codeWithLetter('study', 'W03')}`, ['W02', 'W03']],
  ['lot check 1', ['lot check 1']],
  ['', []],
  [' , ;', []],
])('‘%s’', (text, expected) => {
  expect(chosen(text)).toEqual({ codes: expected })
})

test('what is no run is named', () => {
  expect(chosen('W01, W04')).toEqual({ question: 'No run here bears the code ‘W04’.' })
  expect(chosen('W01–W04')).toMatchObject({ question: expect.stringContaining('W01–W04') })
})
