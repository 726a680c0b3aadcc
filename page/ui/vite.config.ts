import { svelte } from '@sveltejs/vite-plugin-svelte'
import { defineConfig } from 'vitest/config'

// Where `bandwright serve` is told to listen for work on the page itself.
const server = 'http://127.0.0.1:8484'

export default defineConfig({
  plugins: [svelte()],
  base: './',
  build: {
    target: 'es2022',
    // Nothing stands inside the page itself: its content policy allows no
    // script and no picture that is not a file of its own.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    chunkSizeWarningLimit: 250,
  },
  server: { port: 5199, strictPort: true, proxy: { '/api': server } },
  test: { include: ['src/**/*.test.ts'], environment: 'node' },
})
