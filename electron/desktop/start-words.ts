import { resolve } from 'node:path'
import { fileURLToPath } from 'node:url'
import { isStudyFileName } from '../../shared/file-name.ts'

/** The value of `--data FILE` or `--data=FILE` among the words that the program was started with. */
export function dataOption(words: readonly string[]): string | undefined {
  const joined = words.find((word) => word.startsWith('--data='))
  if (joined) return joined.slice('--data='.length)
  const place = words.indexOf('--data')
  return place < 0 ? undefined : words[place + 1]
}

/**
 * The study's file among the words that the program was started with, or null: where a person opens one from the system,
 * Windows adds its path and a desktop of Linux its path or address.
 *
 * @param folder the folder that the words were said in
 */
export function studyFileAmong(words: readonly string[], folder: string): string | null {
  const plain = words.filter((word, i) => !word.startsWith('-') && words[i - 1] !== '--data')
  const paths = plain.flatMap((word) => pathOf(word) ?? [])
  const path = paths.find(isStudyFileName)
  return path === undefined ? null : resolve(folder, path)
}

function pathOf(word: string): string | null {
  if (!word.startsWith('file:')) return word
  try {
    return fileURLToPath(word)
  } catch {
    return null
  }
}
