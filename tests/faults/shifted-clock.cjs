/** Loaded before a process's own modules: its clock, and that of its threads, is off by EVENFILM_CLOCK_SHIFT ms. */
const shift = Number(process.env.EVENFILM_CLOCK_SHIFT)
const Own = Date
globalThis.Date = class extends Own {
  constructor(...args) {
    if (args.length === 0) super(Own.now() + shift)
    else super(...args)
  }
  static now() {
    return Own.now() + shift
  }
}
