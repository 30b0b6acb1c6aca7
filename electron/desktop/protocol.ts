import { join } from 'node:path'
import { app, protocol, type Session } from 'electron'
import { freshNonce, guardHeaders, pageFile } from '../page-files.ts'

export const scheme = 'evenfilm'
const host = 'app'

/** Address of the page in the desktop window. */
export const pageAddress = `${scheme}://${host}/`

/** Whether an address is one of the page itself. */
export function isOwnPage(address: string): boolean {
  try {
    const url = new URL(address)
    return url.protocol === `${scheme}:` && url.host === host
  } catch {
    return false
  }
}

/** Makes the scheme known; once, before the app is ready. */
export function registerScheme(): void {
  protocol.registerSchemesAsPrivileged([{ scheme, privileges: { standard: true, secure: true } }])
}

/** Serves the bundled page from the scheme: its own files, read with GET, and nothing else. */
export function servePage(session: Session): void {
  const folder = join(app.getAppPath(), 'dist/page')
  session.protocol.handle(scheme, async (request) => {
    const plain = { ...guardHeaders(freshNonce()), 'Content-Type': 'text/plain; charset=utf-8' }
    if (!isOwnPage(request.url)) return new Response('Not found.', { status: 404, headers: plain })
    if (request.method !== 'GET')
      return new Response('Files are read with GET.', { status: 405, headers: plain })
    const file = await pageFile(folder, new URL(request.url).pathname)
    return new Response(file.body, { status: file.status, headers: file.headers })
  })
}
