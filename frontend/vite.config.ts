import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vite';

export default defineConfig({
  plugins: [svelte()],
  build: {
    outDir: '../src/wardwright/web/static',
    emptyOutDir: true,
    target: 'es2022',
    assetsInlineLimit: 0, // the content policy takes fonts from files of ours only
    chunkSizeWarningLimit: 900,
  },
  server: { fs: { allow: ['..'] } },
});
