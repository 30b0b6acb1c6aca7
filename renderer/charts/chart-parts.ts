import {
  Chart,
  Filler,
  LinearScale,
  LineController,
  LineElement,
  LogarithmicScale,
  PointElement,
} from 'chart.js'
import annotation from 'chartjs-plugin-annotation'

Chart.register(LineController, LineElement, PointElement, LinearScale, LogarithmicScale, Filler, annotation)

/** Chart.js with the few parts that our charts are made of. */
export { Chart as DrawnChart }
