/** Words of charts and maps that do not depend on what is drawn. */
export const words = {
  table: { caption: (title: string) => `${title}, as a table` },
  tools: {
    table: { label: 'As a table', short: 'Table' },
    chart: { label: 'As a chart', short: 'Chart' },
    map: { label: 'As a map', short: 'Map' },
    axes: { label: 'Axes', short: 'Axes' },
    picture: { label: 'Picture', short: 'Picture' },
  },
  chart: {
    across: 'across',
    up: 'up',
    waiting: 'Calculating',
    keys: 'Arrow keys move the crosshair; plus, minus and 0 look closer, farther, at the whole.',
    whole: 'Whole chart',
  },
  axes: {
    legend: 'Axes of the chart',
    from: (axis: string) => `${axis} from`,
    to: (axis: string) => `${axis} to`,
    closer: 'Closer',
    farther: 'Farther',
    how: 'Or draw a rectangle in the chart with the mouse, or use + − and 0 while it has the focus.',
  },
  picture: {
    legend: 'Picture of the chart',
    kind: 'Picture',
    kinds: {
      png2: 'PNG, twice as fine',
      png3: 'PNG, three times as fine',
      svg: 'SVG',
      svgWords: 'Sharp at every size; its words can be searched and changed.',
    },
    ground: 'Background',
    grounds: { white: 'White', clear: 'None', screen: 'As on the screen' },
    save: 'Save the picture',
    copy: 'Copy the picture',
    saved: (place: string) => `The picture is saved as ${place}.`,
    copied: 'The picture is on the clipboard.',
    notCopied: 'The clipboard did not take the picture. Save it as a file instead.',
  },
  map: {
    titles: {
      flat: 'Wafer map, flat down',
      notch: 'Wafer map, notch down',
      rectangle: 'Site map of a rectangular piece',
    },
    label: (title: string, sites: { read: number; of: number; unsaved: number }) =>
      `${title}: ${sites.read} of ${sites.of} sites read${sites.unsaved > 0 ? `, ${sites.unsaved} of them not saved yet` : ''}`,
    keys: 'Arrow keys go from site to site, Enter takes one in hand.',
    thickness: 'Thickness',
  },
  colours: {
    key: (label: string, range: { low: string; high: string; unit: string }) =>
      `${label}: from ${range.low} (dark) to ${range.high} ${range.unit} (light)`,
  },
}
