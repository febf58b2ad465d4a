import { createLogger } from 'vite';
import { defineConfig } from 'vitest/config';

// The server hands out the fonts that the papers are set in; they are no part of what is built here.
const logger = createLogger('warn');
for (const way of ['warn', 'warnOnce'] as const) {
  const tell = logger[way];
  logger[way] = (text, options) => {
    if (!text.includes('/fonts/')) tell(text, options);
  };
}

export default defineConfig({
  base: '/',
  customLogger: logger,
  build: {
    outDir: '../src/bentwork/web/static',
    emptyOutDir: true,
    assetsInlineLimit: 0, // the content security policy allows no data: addresses for code
    chunkSizeWarningLimit: 700,
    rollupOptions: { input: { main: 'index.html' } },
  },
  test: { include: ['tests/**/*.test.ts', 'tests/**/*.test.tsx'] },
});
