import { app, Menu, type MenuItemConstructorOptions } from 'electron'
import { links, openLink } from './links.ts'

/** The window's menu: what every program of the system has there. The work itself is on the page. */
export function setMenu(newWindow: () => void): void {
  const mac = process.platform === 'darwin'
  const view: MenuItemConstructorOptions[] = [
    { role: 'zoomIn', label: 'Larger' },
    { role: 'zoomOut', label: 'Smaller' },
    { role: 'resetZoom', label: 'Usual size' },
    { type: 'separator' },
    { role: 'togglefullscreen', label: 'Full screen' },
    { role: 'reload', label: 'Load the page again' },
  ]
  if (!app.isPackaged) view.push({ role: 'toggleDevTools', label: 'Developer tools' })
  const template: MenuItemConstructorOptions[] = [
    ...(mac ? [{ role: 'appMenu' as const }] : []),
    {
      label: 'File',
      submenu: [
        { label: 'New window', accelerator: 'CmdOrCtrl+Shift+N', click: newWindow },
        { role: 'close', label: 'Close window' },
        ...(mac ? [] : [{ role: 'quit' as const }]),
      ],
    },
    { role: 'editMenu' },
    { label: 'View', submenu: view },
    { role: 'windowMenu' },
    {
      role: 'help',
      submenu: [{ label: 'Statistics handbook (opens the browser)', click: () => openLink(links.handbook) }],
    },
  ]
  Menu.setApplicationMenu(Menu.buildFromTemplate(template))
}
