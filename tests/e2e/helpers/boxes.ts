import type { ElectronApplication } from 'playwright-core'

type Kept = typeof globalThis & { boxes?: string[] }

/** Answers every message box of the window from now on with the button of this number, and keeps what it said. */
export async function answerBoxes(app: ElectronApplication, button: number): Promise<void> {
  await app.evaluate(({ dialog }, response) => {
    const kept = globalThis as Kept
    kept.boxes = []
    dialog.showMessageBox = (async (...args: unknown[]) => {
      kept.boxes?.push((args.at(-1) as { message: string }).message)
      return { response, checkboxChecked: false }
    }) as typeof dialog.showMessageBox
  }, button)
}

/** What the message boxes said since then. */
export const boxesShown = (app: ElectronApplication) => app.evaluate(() => (globalThis as Kept).boxes ?? [])
