import type { NextConfig } from 'next'

const config: NextConfig = {
  poweredByHeader: false,
  reactStrictMode: true,
  // jsdom reads its own files at run time and cannot be bundled.
  serverExternalPackages: ['jsdom', 'dompurify', 'sharp'],
  experimental: { serverActions: { bodySizeLimit: '64mb' } },
}

export default config
