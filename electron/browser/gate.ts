import { randomBytes, timingSafeEqual } from 'node:crypto'
import type { IncomingMessage } from 'node:http'

/** Who may speak to the loopback door: the browser that opened the one address, and its page alone. */
export type Gate = ReturnType<typeof makeGate>

/** A request is let through, welcomed at the clean address with its cookie, or refused with the reason. */
export type Verdict =
  | { pass: true }
  | { pass: false; cookie: string | null }
  | { pass: false; status: number; reason: string }

const secret = () => randomBytes(32).toString('base64url')

/** Whether two secrets are the same, in a time that does not tell where they differ. */
function same(one: string, other: string): boolean {
  const [a, b] = [Buffer.from(one), Buffer.from(other)]
  return a.length === b.length && timingSafeEqual(a, b)
}

/** The values of one cookie of a request: a page of another port can add a false one, but take none away. */
function cookiesOf(request: IncomingMessage, name: string): string[] {
  return (request.headers.cookie ?? '').split(';').flatMap((pair) => {
    const [key, value] = pair.trim().split('=', 2)
    return key === name && value !== undefined ? [value] : []
  })
}

/**
 * The gate of one start on one port. The code in the printed address works once: it is traded for a cookie that
 * no script can read and no other site can send, and leaves the address.
 */
export function makeGate(port: number) {
  const host = `127.0.0.1:${port}`
  const origin = `http://${host}`
  // Cookies do not know ports: the name keeps two starts on one machine apart.
  const cookieName = `evenfilm-${port}`
  const cookie = secret()
  let code: string | null = secret()

  const refuse = (status: number, reason: string): Verdict => ({ pass: false, status, reason })
  const known = (request: IncomingMessage) =>
    cookiesOf(request, cookieName).some((given) => same(given, cookie))

  return {
    origin,
    /** The address to open, with its code. The one place where a secret is shown. */
    address: `${origin}/?code=${code}`,

    /** Judges a request by where it came from and what it carries, before anything of its body is read. */
    judge(request: IncomingMessage, url: URL): Verdict {
      const hosts = request.headersDistinct.host ?? []
      if (hosts.length !== 1 || hosts[0] !== host) return refuse(421, `This door answers to ${host} only.`)
      const from = request.headers.origin
      if (from !== undefined && from !== origin) return refuse(403, 'The request comes from another page.')
      if (request.method === 'POST' && from === undefined) return refuse(403, 'The request names no origin.')

      const given = url.searchParams.get('code')
      if (given !== null && request.method === 'GET' && url.pathname === '/') {
        if (code !== null && same(given, code)) {
          code = null
          const set = `${cookieName}=${cookie}; HttpOnly; SameSite=Strict; Path=/`
          return { pass: false, cookie: set }
        }
        if (!known(request))
          return refuse(403, 'This address has been used, or is of an earlier start. Start again.')
        return { pass: false, cookie: null }
      }
      // A page of another port of this machine counts as the same site: its requests carry the cookie.
      const site = request.headers['sec-fetch-site']
      if (site !== undefined && site !== 'same-origin' && site !== 'none') {
        return refuse(403, 'The request comes from another page.')
      }
      if (!known(request)) return refuse(403, 'Open the address that was printed at the start.')
      return { pass: true }
    },
  }
}
