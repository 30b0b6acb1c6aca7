// Loaded by Electron before the program: holds it until the driver of the tests has taken hold of it, which says
// so by calling this function. A window made earlier can escape the driver.
'use strict'
const { app } = require('electron')

const ready = app.whenReady()
let go
const held = new Promise((done) => {
  go = done
})
app.whenReady = () => Promise.all([ready, held])
globalThis.__playwright_run = go
