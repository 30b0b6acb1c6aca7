/** The functions of the Cephes library that we use; its own types are not found through its `exports`. */
declare module 'cephes' {
  export const compiled: Promise<void>
  /** Regularized incomplete beta function I_x(a, b). */
  export function incbet(a: number, b: number, x: number): number
  /** The x with I_x(a, b) = y. */
  export function incbi(a: number, b: number, y: number): number
  /** Regularized lower incomplete gamma function P(a, x). */
  export function igam(a: number, x: number): number
  /** Regularized upper incomplete gamma function Q(a, x). */
  export function igamc(a: number, x: number): number
  /** The x with Q(a, x) = y. */
  export function igami(a: number, y: number): number
  /** ln Γ(x). */
  export function lgam(x: number): number
  /** Standard normal distribution function. */
  export function ndtr(z: number): number
  /** Its inverse. */
  export function ndtri(p: number): number
}
