// SHA-256, as the API wants it of every chunk and names recordings by.

const sha256 = async (bytes: BufferSource) => new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));

/** The field Content-Digest of a body (published: RFC 9530, Digest Fields, 2024). */
export async function contentDigest(bytes: BufferSource): Promise<string> {
  return `sha-256=:${btoa(String.fromCharCode(...(await sha256(bytes))))}:`;
}

/** The hash by which the program calls a file: 64 hexadecimal digits. */
export async function fileHash(bytes: BufferSource): Promise<string> {
  return [...(await sha256(bytes))].map((b) => b.toString(16).padStart(2, '0')).join('');
}
