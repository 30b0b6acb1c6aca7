import '../styles/tokens.css'
import '../styles/base.css'
import '../styles/common.css'
import '../styles/entry.css'
import '../styles/form.css'
import { createPinia } from 'pinia'
import { createApp } from 'vue'
import PartsPage from './PartsPage.vue'

createApp(PartsPage).use(createPinia()).mount('#page')
