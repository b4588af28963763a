package org.cellherd.page;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.util.zip.GZIPOutputStream;

/** Bodies packed for a slow radio link. */
final class Packed {

  private Packed() {}

  static byte[] gzip(byte[] plain) {
    ByteArrayOutputStream packed = new ByteArrayOutputStream(plain.length / 2);
    try (GZIPOutputStream out = new GZIPOutputStream(packed)) {
      out.write(plain);
    } catch (IOException inMemory) {
      throw new IllegalStateException(inMemory);
    }
    return packed.toByteArray();
  }
}
