import { readFileSync, renameSync, writeFileSync } from 'node:fs'

/** What the window remembers from one start to the next: where it stood, and the folder last saved into. */
export type Remembered = { bounds?: unknown; maximized?: boolean; folder?: string }

/** Reads what was kept; nothing where there is no file or it is damaged, since it is only for comfort. */
export function recall(file: string): Remembered {
  try {
    const kept: unknown = JSON.parse(readFileSync(file, 'utf8'))
    return typeof kept === 'object' && kept !== null ? kept : {}
  } catch {
    return {}
  }
}

/** Keeps the given parts beside what is kept already, whole or not at all. */
export function remember(file: string, parts: Remembered): void {
  try {
    writeFileSync(`${file}.new`, JSON.stringify({ ...recall(file), ...parts }))
    renameSync(`${file}.new`, file)
  } catch (error) {
    console.error(`What the window should remember could not be kept: ${error}`)
  }
}
