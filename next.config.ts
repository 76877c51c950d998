import type { NextConfig } from 'next'

const config: NextConfig = {
  poweredByHeader: false,
  reactStrictMode: true,
  // They read their own files at run time and cannot be bundled.
  serverExternalPackages: ['jsdom', 'dompurify', 'sharp', '@napi-rs/canvas'],
  // Types are checked by `npm test`: at a start nobody could do anything about them, and it would take twice as long.
  typescript: { ignoreBuildErrors: true },
  experimental: { serverActions: { bodySizeLimit: '64mb' } },
}

export default config
