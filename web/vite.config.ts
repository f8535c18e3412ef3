import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vite';

export default defineConfig({
  plugins: [svelte()],
  build: {
    outDir: 'dist', emptyOutDir: false, target: 'es2022', assetsInlineLimit: 0, reportCompressedSize: true,
    rolldownOptions: { input: ['index.html', 'print.html'] },
  },
  worker: { format: 'es' },
  server: { proxy: { '/api': 'http://127.0.0.1:8080' } },
});
