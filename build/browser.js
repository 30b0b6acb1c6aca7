import { existsSync } from 'node:fs'
import { delimiter, join } from 'node:path'

/** A command's file on the search path, or null. */
export function onPath(command) {
  const folders = (process.env.PATH ?? '').split(delimiter).filter(Boolean)
  return folders.map((folder) => join(folder, command)).find((file) => existsSync(file)) ?? null
}

/** Whether a window can be shown to somebody here. */
export const hasDisplay = () =>
  process.platform !== 'linux' || Boolean(process.env.DISPLAY || process.env.WAYLAND_DISPLAY)

/** A Chromium that tests can drive: the one that EVENFILM_BROWSER names, else one on the search path, or null. */
export function findChromium() {
  return process.env.EVENFILM_BROWSER || onPath('chromium') || onPath('chromium-browser')
}
