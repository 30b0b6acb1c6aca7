/** A set of the Statistical Reference Datasets for non-linear regression, data in tests/data/strd_*.csv. */
export type NonlinearSet = {
  file: string
  equation: string
  /** The far start and the near one. */
  starts: [number[], number[]]
  estimates: number[]
  errors: number[]
  residualStandardDeviation: number
  sumOfSquares: number
}

/**
 * National Institute of Standards and Technology, Statistical Reference Datasets, nonlinear regression (public domain):
 * all sets, with their certified values of 11 digits. Data of those beyond the first six from the test data of public
 * numerical libraries; that every sum of squares agrees to its digits shows that no number of them is wrong.
 * From memory: certified standard deviations of Lanczos1, Gauss1 and Hahn1, the residual standard deviation of Kirby2 and
 * the starts of ENSO; the fit agrees with all of them but the starts, which nothing checks.
 */
export const nonlinearSets: Record<string, NonlinearSet> = {
  Misra1a: {
    file: 'strd_misra1a.csv',
    equation: 'y = b1*(1 - exp(-b2*x))',
    starts: [
      [500, 0.0001],
      [250, 0.0005],
    ],
    estimates: [238.94212918, 0.00055015643181],
    errors: [2.7070075241, 7.2668688436e-6],
    residualStandardDeviation: 0.1018787633,
    sumOfSquares: 0.12455138894,
  },
  Misra1b: {
    file: 'strd_misra1a.csv',
    equation: 'y = b1*(1 - (1 + b2*x/2)^(-2))',
    starts: [
      [500, 0.0001],
      [300, 0.0002],
    ],
    estimates: [337.99746163, 0.00039039091287],
    errors: [3.1643950207, 4.2547321834e-6],
    residualStandardDeviation: 0.079301471998,
    sumOfSquares: 0.075464681533,
  },
  Misra1c: {
    file: 'strd_misra1a.csv',
    equation: 'y = b1*(1 - (1 + 2*b2*x)^(-0.5))',
    starts: [
      [500, 0.0001],
      [600, 0.0002],
    ],
    estimates: [636.42725809, 0.00020813627256],
    errors: [4.6638326572, 1.7728423155e-6],
    residualStandardDeviation: 0.058428615257,
    sumOfSquares: 0.040966836971,
  },
  Misra1d: {
    file: 'strd_misra1a.csv',
    equation: 'y = b1*b2*x/(1 + b2*x)',
    starts: [
      [500, 0.0001],
      [450, 0.0003],
    ],
    estimates: [437.36970754, 0.00030227324449],
    errors: [3.6489174345, 2.9334354479e-6],
    residualStandardDeviation: 0.068568272111,
    sumOfSquares: 0.056419295283,
  },
  Chwirut1: {
    file: 'strd_chwirut1.csv',
    equation: 'y = exp(-b1*x)/(b2 + b3*x)',
    starts: [
      [0.1, 0.01, 0.02],
      [0.15, 0.008, 0.01],
    ],
    estimates: [0.1902781837, 0.0061314004477, 0.010530908399],
    errors: [0.021938557035, 0.00034500025051, 0.00079281847748],
    residualStandardDeviation: 3.361672132,
    sumOfSquares: 2384.4771393,
  },
  Chwirut2: {
    file: 'strd_chwirut2.csv',
    equation: 'y = exp(-b1*x)/(b2 + b3*x)',
    starts: [
      [0.1, 0.01, 0.02],
      [0.15, 0.008, 0.01],
    ],
    estimates: [0.16657666537, 0.0051653291286, 0.012150007096],
    errors: [0.03830328681, 0.00066621605126, 0.0015304234767],
    residualStandardDeviation: 3.171713304,
    sumOfSquares: 513.04802941,
  },
  Lanczos1: {
    file: 'strd_lanczos1.csv',
    equation: 'y = b1*exp(-b2*x) + b3*exp(-b4*x) + b5*exp(-b6*x)',
    starts: [
      [1.2, 0.3, 5.6, 5.5, 6.5, 7.6],
      [0.5, 0.7, 3.6, 4.2, 4, 6.3],
    ],
    estimates: [0.095100000027, 1.0000000001, 0.86070000013, 3.0000000002, 1.5575999998, 5.0000000001],
    errors: [
      5.3347304234e-11, 2.7473038179e-10, 1.3576062225e-10, 3.3308253069e-10, 1.8815731448e-10,
      1.1057500538e-10,
    ],
    residualStandardDeviation: 8.9156129349e-14,
    sumOfSquares: 1.4307867721e-25,
  },
  Lanczos2: {
    file: 'strd_lanczos2.csv',
    equation: 'y = b1*exp(-b2*x) + b3*exp(-b4*x) + b5*exp(-b6*x)',
    starts: [
      [1.2, 0.3, 5.6, 5.5, 6.5, 7.6],
      [0.5, 0.7, 3.6, 4.2, 4, 6.3],
    ],
    estimates: [0.096251029939, 1.0057332849, 0.86424689056, 3.0078283915, 1.5529016879, 5.00287981],
    errors: [
      0.00066770575477, 0.0033989646176, 0.0017185846685, 0.0041707005856, 0.0023744381417, 0.0013958787284,
    ],
    residualStandardDeviation: 1.1130395851e-6,
    sumOfSquares: 2.2299428125e-11,
  },
  Lanczos3: {
    file: 'strd_lanczos3.csv',
    equation: 'y = b1*exp(-b2*x) + b3*exp(-b4*x) + b5*exp(-b6*x)',
    starts: [
      [1.2, 0.3, 5.6, 5.5, 6.5, 7.6],
      [0.5, 0.7, 3.6, 4.2, 4, 6.3],
    ],
    estimates: [0.086816414977, 0.95498101505, 0.84400777463, 2.9515951832, 1.5825685901, 4.9863565084],
    errors: [0.017197908859, 0.097041624475, 0.041488663282, 0.10766312506, 0.058371576281, 0.034436403035],
    residualStandardDeviation: 2.9923229172e-5,
    sumOfSquares: 1.6117193594e-8,
  },
  Gauss1: {
    file: 'strd_gauss1.csv',
    equation: 'y = b1*exp(-b2*x) + b3*exp(-(x - b4)^2/b5^2) + b6*exp(-(x - b7)^2/b8^2)',
    starts: [
      [97, 0.009, 100, 65, 20, 70, 178, 16.5],
      [94, 0.0105, 99, 63, 25, 71, 180, 20],
    ],
    estimates: [
      98.778210871, 0.010497276517, 100.48990633, 67.481111276, 23.12977336, 71.994503004, 178.99805021,
      18.389389025,
    ],
    errors: [
      0.5752731273, 0.00011406289017, 0.58831775752, 0.10460593412, 0.17439951146, 0.62622793913,
      0.12436988217, 0.20134312832,
    ],
    residualStandardDeviation: 2.331798018,
    sumOfSquares: 1315.8222432,
  },
  Gauss2: {
    file: 'strd_gauss2.csv',
    equation: 'y = b1*exp(-b2*x) + b3*exp(-(x - b4)^2/b5^2) + b6*exp(-(x - b7)^2/b8^2)',
    starts: [
      [96, 0.009, 103, 106, 18, 72, 151, 18],
      [98, 0.0105, 103, 105, 20, 73, 150, 20],
    ],
    estimates: [
      99.018328406, 0.010994945399, 101.88022528, 107.03095519, 23.578584029, 72.045589471, 153.27010194,
      19.525972636,
    ],
    errors: [
      0.53748766879, 0.00013335306766, 0.59217315772, 0.15006798316, 0.22695595067, 0.61721965884,
      0.19466674341, 0.26416549393,
    ],
    residualStandardDeviation: 2.2704790782,
    sumOfSquares: 1247.5282092,
  },
  Gauss3: {
    file: 'strd_gauss3.csv',
    equation: 'y = b1*exp(-b2*x) + b3*exp(-(x - b4)^2/b5^2) + b6*exp(-(x - b7)^2/b8^2)',
    starts: [
      [94.9, 0.009, 90.1, 113, 20, 73.8, 140, 20],
      [96, 0.0096, 80, 110, 25, 74, 139, 25],
    ],
    estimates: [
      98.94036897, 0.010945879335, 100.69553078, 111.63619459, 23.300500029, 73.705031418, 147.76164251,
      19.66822123,
    ],
    errors: [
      0.53005192833, 0.00012554058911, 0.81256587317, 0.35317859757, 0.36584783023, 1.2091239082,
      0.40488183351, 0.37806634336,
    ],
    residualStandardDeviation: 2.2677077625,
    sumOfSquares: 1244.484636,
  },
  DanWood: {
    file: 'strd_danwood.csv',
    equation: 'y = b1*x^b2',
    starts: [
      [1, 5],
      [0.7, 4],
    ],
    estimates: [0.76886226176, 3.8604055871],
    errors: [0.01828197386, 0.051726610913],
    residualStandardDeviation: 0.032853114039,
    sumOfSquares: 0.0043173084083,
  },
  Kirby2: {
    file: 'strd_kirby2.csv',
    equation: 'y = (b1 + b2*x + b3*x^2)/(1 + b4*x + b5*x^2)',
    starts: [
      [2, -0.1, 0.003, -0.001, 1e-5],
      [1.5, -0.15, 0.0025, -0.0015, 2e-5],
    ],
    estimates: [1.6745063063, -0.13927397867, 0.0025961181191, -0.001724181187, 2.1664802578e-5],
    errors: [0.087989634338, 0.0041182041386, 4.1856520458e-5, 5.8931897355e-5, 2.0129761919e-7],
    residualStandardDeviation: 0.16354535131,
    sumOfSquares: 3.9050739624,
  },
  Hahn1: {
    file: 'strd_hahn1.csv',
    equation: 'y = (b1 + b2*x + b3*x^2 + b4*x^3)/(1 + b5*x + b6*x^2 + b7*x^3)',
    starts: [
      [10, -1, 0.05, -1e-5, -0.05, 0.001, -1e-6],
      [1, -0.1, 0.005, -1e-6, -0.005, 0.0001, -1e-7],
    ],
    estimates: [
      1.0776351733, -0.12269296921, 0.004086375061, -1.4262662514e-6, -0.0057609940901, 0.00024053735503,
      -1.2314450199e-7,
    ],
    errors: [
      0.17070154742, 0.012000289189, 0.00022508314937, 2.7578037666e-7, 0.00024712888219, 1.0449373768e-5,
      1.3027335327e-8,
    ],
    residualStandardDeviation: 0.081803852243,
    sumOfSquares: 1.5324382854,
  },
  Nelson: {
    file: 'strd_nelson.csv',
    equation: 'log(y) = b1 - b2*x1*exp(-b3*x2)',
    starts: [
      [2, 0.0001, -0.01],
      [2.5, 5e-9, -0.05],
    ],
    estimates: [2.5906836021, 5.6177717026e-9, -0.057701013174],
    errors: [0.019149996413, 6.112409654e-9, 0.0039572366543],
    residualStandardDeviation: 0.1743028013,
    sumOfSquares: 3.7976833176,
  },
  MGH17: {
    file: 'strd_mgh17.csv',
    equation: 'y = b1 + b2*exp(-x*b4) + b3*exp(-x*b5)',
    starts: [
      [50, 150, -100, 1, 2],
      [0.5, 1.5, -1, 0.01, 0.02],
    ],
    estimates: [0.37541005211, 1.9358469127, -1.4646871366, 0.01286753464, 0.022122699662],
    errors: [0.0020723153551, 0.22031669222, 0.22175707739, 0.00044861358114, 0.00089471996575],
    residualStandardDeviation: 0.0013970497866,
    sumOfSquares: 5.4648946975e-5,
  },
  Roszman1: {
    file: 'strd_roszman1.csv',
    equation: 'y = b1 - b2*x - arctan(b3/(x - b4))/pi',
    starts: [
      [0.1, -1e-5, 1000, -100],
      [0.2, -5e-6, 1200, -150],
    ],
    estimates: [0.20196866396, -6.1953516256e-6, 1204.4556708, -181.34269537],
    errors: [0.019172666023, 3.2058931691e-6, 74.050983057, 49.573513849],
    residualStandardDeviation: 0.004854298406,
    sumOfSquares: 0.00049484847331,
  },
  ENSO: {
    file: 'strd_enso.csv',
    equation:
      'y = b1 + b2*cos(2*pi*x/12) + b3*sin(2*pi*x/12) + b5*cos(2*pi*x/b4) + b6*sin(2*pi*x/b4) + b8*cos(2*pi*x/b7) + b9*sin(2*pi*x/b7)',
    starts: [
      [11, 3, 0.5, 40, -0.7, -1.3, 25, -0.3, 1.4],
      [10, 3, 0.5, 44, -1.5, 0.5, 26, -0.1, 1.5],
    ],
    estimates: [
      10.510749193, 3.0762128085, 0.53280138227, 44.3110887, -1.6231428586, 0.52554493756, 26.88761444,
      0.21232288488, 1.4966870418,
    ],
    errors: [
      0.17488832467, 0.24310052139, 0.24354686618, 0.94408025976, 0.28078369611, 0.48073701119, 0.4161293913,
      0.51460022911, 0.25434468893,
    ],
    residualStandardDeviation: 2.2269642403,
    sumOfSquares: 788.53978668,
  },
  MGH09: {
    file: 'strd_mgh09.csv',
    equation: 'y = b1*(x^2 + x*b2)/(x^2 + x*b3 + b4)',
    starts: [
      [25, 39, 41.5, 39],
      [0.25, 0.39, 0.415, 0.39],
    ],
    estimates: [0.19280693458, 0.19128232873, 0.12305650693, 0.13606233068],
    errors: [0.011435312227, 0.19633220911, 0.080842031232, 0.090025542308],
    residualStandardDeviation: 0.0066279236551,
    sumOfSquares: 0.00030750560385,
  },
  Thurber: {
    file: 'strd_thurber.csv',
    equation: 'y = (b1 + b2*x + b3*x^2 + b4*x^3)/(1 + b5*x + b6*x^2 + b7*x^3)',
    starts: [
      [1000, 1000, 400, 40, 0.7, 0.3, 0.03],
      [1300, 1500, 500, 75, 1, 0.4, 0.05],
    ],
    estimates: [
      1288.13968, 1491.0792535, 583.23836877, 75.416644291, 0.96629502864, 0.39797285797, 0.049727297349,
    ],
    errors: [
      4.6647963344, 39.571156086, 28.698696102, 5.567537027, 0.031333340687, 0.014984928198, 0.0065842344623,
    ],
    residualStandardDeviation: 13.714600784,
    sumOfSquares: 5642.7082397,
  },
  BoxBOD: {
    file: 'strd_boxbod.csv',
    equation: 'y = b1*(1 - exp(-b2*x))',
    starts: [
      [1, 1],
      [100, 0.75],
    ],
    estimates: [213.80940889, 0.54723748542],
    errors: [12.354515176, 0.10455993237],
    residualStandardDeviation: 17.088072423,
    sumOfSquares: 1168.0088766,
  },
  Rat42: {
    file: 'strd_rat42.csv',
    equation: 'y = b1/(1 + exp(b2 - b3*x))',
    starts: [
      [100, 1, 0.1],
      [75, 2.5, 0.07],
    ],
    estimates: [72.462237576, 2.6180768402, 0.067359200066],
    errors: [1.7340283401, 0.088295217536, 0.0034465663377],
    residualStandardDeviation: 1.1587725499,
    sumOfSquares: 8.0565229338,
  },
  MGH10: {
    file: 'strd_mgh10.csv',
    equation: 'y = b1*exp(b2/(x + b3))',
    starts: [
      [2, 400000, 25000],
      [0.02, 4000, 250],
    ],
    estimates: [0.005609636471, 6181.3463463, 345.22363462],
    errors: [0.00015687892471, 23.309021107, 0.78486103508],
    residualStandardDeviation: 2.6009740065,
    sumOfSquares: 87.945855171,
  },
  Eckerle4: {
    file: 'strd_eckerle4.csv',
    equation: 'y = b1/b2*exp(-0.5*((x - b3)/b2)^2)',
    starts: [
      [1, 10, 500],
      [1.5, 5, 450],
    ],
    estimates: [1.5543827178, 4.0888321754, 451.54121844],
    errors: [0.015408051163, 0.046803020753, 0.046800518816],
    residualStandardDeviation: 0.0067629245447,
    sumOfSquares: 0.0014635887487,
  },
  Rat43: {
    file: 'strd_rat43.csv',
    equation: 'y = b1/(1 + exp(b2 - b3*x))^(1/b4)',
    starts: [
      [100, 10, 1, 1],
      [700, 5, 0.75, 1.3],
    ],
    estimates: [699.6415127, 5.2771253025, 0.75962938329, 1.2792483859],
    errors: [16.302297817, 2.0828735829, 0.19566123451, 0.68761936385],
    residualStandardDeviation: 28.262414662,
    sumOfSquares: 8786.404908,
  },
  Bennett5: {
    file: 'strd_bennett5.csv',
    equation: 'y = b1*(b2 + x)^(-1/b3)',
    starts: [
      [-2000, 50, 0.8],
      [-1500, 45, 0.85],
    ],
    estimates: [-2523.5058043, 46.736564644, 0.93218483193],
    errors: [297.15175411, 1.2448871856, 0.020272299378],
    residualStandardDeviation: 0.0018629312528,
    sumOfSquares: 0.00052404744073,
  },
}
