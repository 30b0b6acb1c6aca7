import { shell } from 'electron'

/** The public pages that the program may show in the browser of this machine; no other address is opened. */
export const links = {
  handbook: 'https://www.itl.nist.gov/div898/handbook/',
} as const

const allowed = new Set<string>(Object.values(links))

/** Opens an address outside the program, where it is one of the allowed ones; whether it was. */
export function openLink(address: string): boolean {
  if (!allowed.has(address)) return false
  shell.openExternal(address).catch((error) => console.error(`The browser did not open: ${error}`))
  return true
}
