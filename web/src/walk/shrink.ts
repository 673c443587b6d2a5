// Makes a photograph small enough to send over a house's network from a ladder.

/** Enough to read a label on a cable end. */
export const LONGER_SIDE_MAX_PX = 1600;

/** As JPEG with its longer side at most 1600 px, upright; or as it came where the browser can't read it. */
export async function shrunk(photograph: Blob): Promise<Blob> {
  let picture: ImageBitmap;
  try {
    picture = await createImageBitmap(photograph, { imageOrientation: 'from-image' });
  } catch {
    return photograph;
  }
  const { width, height } = fit(picture.width, picture.height);
  if (width === picture.width && photograph.type === 'image/jpeg') {
    picture.close();
    return photograph;
  }
  const canvas = document.createElement('canvas');
  canvas.width = width;
  canvas.height = height;
  canvas.getContext('2d')?.drawImage(picture, 0, 0, width, height);
  picture.close();
  const made = await new Promise<Blob | null>((resolve) => canvas.toBlob(resolve, 'image/jpeg', 0.85));
  return made ?? photograph;
}

export function fit(width: number, height: number): { width: number; height: number } {
  const scale = Math.min(1, LONGER_SIDE_MAX_PX / Math.max(width, height));
  return { width: Math.max(1, Math.round(width * scale)), height: Math.max(1, Math.round(height * scale)) };
}
