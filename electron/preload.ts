import { contextBridge, ipcRenderer } from 'electron'
import type { Bridge, BridgeEvent } from '../shared/bridge.ts'

type Handler = () => void | Promise<void>

const handlers: Record<BridgeEvent, Set<Handler>> = { changed: new Set(), closing: new Set() }

ipcRenderer.on('evenfilm:changed', () => {
  for (const handler of handlers.changed) handler()
})
ipcRenderer.on('evenfilm:closing', async () => {
  await Promise.allSettled([...handlers.closing].map((handler) => handler()))
  ipcRenderer.send('evenfilm:closed')
})

const bridge: Bridge = {
  kind: 'desktop',
  call: (name, args) => ipcRenderer.invoke('evenfilm:call', name, args),
  saveFile: (file) => ipcRenderer.invoke('evenfilm:saveFile', file),
  on(event, handler) {
    if (!Object.hasOwn(handlers, event)) throw new Error(`There is no event ‘${event}’.`)
    handlers[event].add(handler)
    return () => handlers[event].delete(handler)
  },
}

contextBridge.exposeInMainWorld('evenfilm', bridge)
