import { v7 } from 'uuid'

/** A new identifier, unique across databases and rising with time (UUID version 7, RFC 9562). */
export const newId = (): string => v7()

/** The time now as databases and files hold it (ISO 8601, UTC). */
export const now = (): string => new Date().toISOString()
