import type { IncomingMessage } from 'node:http'

/** Largest call: the contract takes files of up to 200 million characters, and JSON adds its escapes. */
const bodyLimit = 256 * 1024 * 1024

/** A call as the page sends it, or the status and reason of its refusal. */
export type ReadCall =
  | { ok: true; name: string; args: unknown; page: string | undefined; key: string | undefined }
  | { ok: false; status: number; reason: string }

const refuse = (status: number, reason: string): ReadCall => ({ ok: false, status, reason })

/** Reads `{ name, args, page, key }` from a request: JSON by its content type and by its text, no longer than the limit. */
export async function readCall(request: IncomingMessage, limit = bodyLimit): Promise<ReadCall> {
  const type = (request.headers['content-type'] ?? '').split(';')[0]?.trim().toLowerCase()
  if (type !== 'application/json') return refuse(415, 'A call is JSON.')
  if (Number(request.headers['content-length'] ?? 0) > limit) return refuse(413, 'The call is too large.')

  const parts: Buffer[] = []
  let size = 0
  for await (const part of request as AsyncIterable<Buffer>) {
    size += part.length
    if (size > limit) return refuse(413, 'The call is too large.')
    parts.push(part)
  }
  let body: unknown
  try {
    body = JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(Buffer.concat(parts)))
  } catch {
    return refuse(400, 'The call is no JSON.')
  }
  const { name, args = {}, page, key } = (body ?? {}) as Record<string, unknown>
  if (typeof name !== 'string') return refuse(400, 'A call has a name and arguments.')
  const word = (given: unknown) => (typeof given === 'string' ? given : undefined)
  return { ok: true, name, args, page: word(page), key: word(key) }
}
