import type { Session, WebContents } from 'electron'
import { openLink } from './links.ts'
import { isOwnPage } from './protocol.ts'

/** The one permission that the page has: to put what it shows on the clipboard. */
const granted = new Set(['clipboard-sanitized-write'])

/** Whatever would leave the machine, and files beside the page's own. */
const refused = ['http://*/*', 'https://*/*', 'ws://*/*', 'wss://*/*', 'ftp://*/*', 'file://*/*']

/** Takes from everything in a session what the page does not need. */
export function restrictSession(session: Session): void {
  session.setPermissionRequestHandler((_contents, permission, done) => done(granted.has(permission)))
  session.setPermissionCheckHandler((_contents, permission) => granted.has(permission))
  session.setDevicePermissionHandler(() => false)
  session.webRequest.onBeforeRequest({ urls: refused }, (_details, done) => done({ cancel: true }))
  // The page fetches nothing; what it saves goes by its door, with a question where to.
  session.on('will-download', (event) => event.preventDefault())
}

/** Keeps a page where it is: it leads nowhere else, opens no windows and holds no other pages. */
export function restrictContents(contents: WebContents): void {
  const stay = (event: { preventDefault(): void }, address: string) => {
    if (!isOwnPage(address)) event.preventDefault()
  }
  contents.on('will-navigate', (event, address) => stay(event, address))
  contents.on('will-redirect', (event, address) => stay(event, address))
  contents.on('will-attach-webview', (event) => event.preventDefault())
  contents.setWindowOpenHandler(({ url }) => {
    openLink(url)
    return { action: 'deny' }
  })
}
