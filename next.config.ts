import type { NextConfig } from 'next'

const config: NextConfig = {
  poweredByHeader: false,
  reactStrictMode: true,
  // They read their own files at run time and cannot be bundled.
  serverExternalPackages: ['jsdom', 'dompurify', 'sharp', '@napi-rs/canvas'],
  experimental: { serverActions: { bodySizeLimit: '64mb' } },
}

export default config
