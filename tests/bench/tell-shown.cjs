// Loaded by Electron before a program that is measured: tells the process that started it once a button is painted.
'use strict'
const { app } = require('electron')

const painted = `new Promise((done) => {
  const look = () =>
    document.querySelector('main button, body > button')
      ? requestAnimationFrame(() => setTimeout(done))
      : requestAnimationFrame(look)
  look()
})`
app.on('web-contents-created', (_event, contents) => {
  contents.once('dom-ready', () => contents.executeJavaScript(painted).then(() => process.send('shown')))
})
