package org.cellherd.store;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.Charset;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.StorageFailure.Kind;

/**
 * A file that was never a log, such as a table or an archive named by mistake. SQLite calls it
 * damaged, like a log that lost its beginning; salvaging it would put a new log in its place.
 */
final class Stranger {

  private static final byte[] MAGIC = "SQLite format 3\0".getBytes(StandardCharsets.US_ASCII);

  /** A log holds zeros in its every page; a lost page of one may hold text, all of them do not. */
  private static final int LOOKED_AT = 1 << 20;

  /** The first page of a log holds no row: what is no longer holds nothing that could be saved. */
  private static final int ONE_PAGE = 1024;

  /** How common files begin, in hex. Long enough that noise does so once in 16 million. */
  private static final Map<String, String> BEGINNINGS = beginnings();

  private Stranger() {}

  /**
   * Refuses a file that is no log, was none, and has nothing of a log beside it.
   *
   * @throws StorageFailure {@code FOREIGN} with what the file is; nothing is changed
   */
  public static void refuse(Path file) throws StorageFailure {
    if (!Files.isRegularFile(file)
        || Files.exists(WriteAheadLog.file(file))
        || Files.exists(Tail.file(file))
        || Replacement.isWaiting(file)) {
      return;
    }
    byte[] head;
    try (InputStream in = Files.newInputStream(file)) {
      head = in.readNBytes(LOOKED_AT);
    } catch (IOException toldByOthers) {
      return;
    }
    Optional<String> kind = kind(head);
    if (kind.isPresent()) {
      throw new StorageFailure(
          Kind.FOREIGN,
          file + ": is " + kind.get() + ", not a log such as cellherd.db; nothing was changed");
    }
  }

  private static Optional<String> kind(byte[] head) {
    int magic = Math.min(head.length, MAGIC.length);
    if (Arrays.equals(head, 0, magic, MAGIC, 0, magic) || isZero(head)) {
      return Optional.empty();
    }
    String begin = HexFormat.of().formatHex(head, 0, Math.min(head.length, 8));
    for (Map.Entry<String, String> known : BEGINNINGS.entrySet()) {
      if (begin.startsWith(known.getKey())) {
        return Optional.of(known.getValue());
      }
    }
    if (isText(head)) {
      return Optional.of("a text file");
    }
    return head.length <= ONE_PAGE
        ? Optional.of("a file of only " + head.length + " bytes")
        : Optional.empty();
  }

  /** What a loss of power leaves of a file that was just made. */
  private static boolean isZero(byte[] head) {
    for (byte each : head) {
      if (each != 0) {
        return false;
      }
    }
    return true;
  }

  private static boolean isText(byte[] head) {
    boolean isWide = head.length >= 2 && (head[0] & 0xff) + (head[1] & 0xff) == 0xff + 0xfe;
    // Latin-1 takes UTF-8 as well: it is the control characters that tell.
    Charset charset = isWide ? StandardCharsets.UTF_16 : StandardCharsets.ISO_8859_1;
    return new String(head, charset)
        .chars()
        .allMatch(c -> c >= ' ' || "\t\n\f\r\u001b".indexOf(c) >= 0);
  }

  private static Map<String, String> beginnings() {
    Map<String, String> known = new LinkedHashMap<>();
    known.put("1f8b08", "a gzip archive");
    known.put("504b0304", "a zip archive or a document of an office program");
    known.put("fd377a585a00", "an xz archive");
    known.put("28b52ffd", "a zstd archive");
    known.put("25504446", "a PDF document");
    known.put("89504e47", "a PNG picture");
    known.put("ffd8ff", "a JPEG picture");
    known.put("7f454c46", "a program");
    return known;
  }
}
