import './styles/tokens.css'
import './styles/base.css'
import './styles/common.css'
import './styles/entry.css'
import './styles/form.css'
import './styles/print.css'
import { createPinia } from 'pinia'
import { createApp } from 'vue'
import App from './App.vue'

createApp(App).use(createPinia()).mount('#page')
