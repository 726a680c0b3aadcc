import { mount } from 'svelte'
import 'uplot/dist/uPlot.min.css'
import './style.css'
import App from './App.svelte'
import { startLook } from './look.svelte'
import { start } from './work'

const target = document.getElementById('page')
if (target === null) throw new Error('page: there is no place for it')
startLook()
mount(App, { target })
start()
