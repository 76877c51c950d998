/** How the joint of a part wants to be put together: facts of parts list lines, and what companion rules ask for. */
export const JOINTS = [
  'shaft-fit',
  'hub-spigot',
  'wheel-face',
  'threads-that-shake',
  'hot-threads',
  'brake-contact',
  'gasket-face',
  'bearing-fill',
  'grease-nipple',
  'pressure-seal',
  'oil-fill',
  'pivot',
  'dry-fit',
  'in-oil',
  'light-spring',
  'shrunk-on',
] as const
