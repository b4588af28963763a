package org.cellherd.forward.wire;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Base64;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.pack.Worded;
import org.cellherd.store.Parcel;
import org.cellherd.store.codec.PackedBytes;
import org.cellherd.store.sql.ParcelKind;

/**
 * A parcel, or a piece of a large one, as a message: a line of words, then the bytes as base64.
 *
 * <pre>
 * 1 LOG TOKEN KIND REV PIECE/PIECES KEY
 * </pre>
 *
 * @param log UUID of the log
 * @param token drawn by the site for this sending; whoever says that the parcel is held repeats it
 * @param piece number of this piece, from 1
 * @param pieces how many there are
 * @param parcel with the bytes of this piece alone
 */
public record ParcelText(String log, long token, int piece, int pieces, Parcel parcel) {

  /** Bytes in one message: with base64 less than brokers and the guard of ours take. */
  private static final int PIECE = 36_000;

  private static final int MOST_PIECES = 64;

  private static final Pattern HEAD =
      Pattern.compile(
          "1 ([0-9a-f-]{36}) ([0-9a-f]{1,16}) ([a-z_]+) ([0-9]{1,18}) ([0-9]{1,3})/([0-9]{1,3})"
              + " ([!-~]{1,200})");

  /** The messages of a parcel. */
  public static List<String> of(String log, long token, Parcel parcel) {
    byte[] bytes = parcel.body().bytes();
    int pieces = Math.max(1, (bytes.length + PIECE - 1) / PIECE);
    List<String> texts = new ArrayList<>();
    for (int i = 0; i < pieces; i++) {
      byte[] piece = Arrays.copyOfRange(bytes, i * PIECE, Math.min(bytes.length, (i + 1) * PIECE));
      texts.add(
          String.join(
                  " ",
                  "1",
                  log,
                  Long.toHexString(token),
                  parcel.kind().word(),
                  Long.toString(parcel.rev()),
                  (i + 1) + "/" + pieces,
                  parcel.key())
              + "\n"
              + Base64.getEncoder().encodeToString(piece));
    }
    return texts;
  }

  /**
   * What a message says.
   *
   * @throws IllegalArgumentException when it is none of these; the message says why
   */
  public static ParcelText parse(String text) {
    int end = text.indexOf('\n');
    Matcher head = HEAD.matcher(end < 0 ? text : text.substring(0, end));
    if (end < 0 || !head.matches()) {
      throw new IllegalArgumentException("its first line is not that of a parcel");
    }
    ParcelKind kind =
        Worded.find(ParcelKind.values(), head.group(3))
            .orElseThrow(() -> new IllegalArgumentException("unknown kind " + head.group(3)));
    String key = head.group(7);
    kind.keyMs(key);
    int piece = Integer.parseInt(head.group(5));
    int pieces = Integer.parseInt(head.group(6));
    if (piece < 1 || piece > pieces || pieces > MOST_PIECES) {
      throw new IllegalArgumentException("piece " + piece + " of " + pieces);
    }
    PackedBytes body = new PackedBytes(decoded(text, end + 1));
    return new ParcelText(
        head.group(1),
        Long.parseUnsignedLong(head.group(2), 16),
        piece,
        pieces,
        new Parcel(kind, key, Long.parseLong(head.group(4)), body));
  }

  /** The bytes from there on; a character that is no byte is no base64 either. */
  private static byte[] decoded(String text, int from) {
    byte[] all = text.getBytes(StandardCharsets.ISO_8859_1);
    ByteBuffer bytes = Base64.getDecoder().decode(ByteBuffer.wrap(all, from, all.length - from));
    return bytes.remaining() == bytes.array().length
        ? bytes.array()
        : Arrays.copyOf(bytes.array(), bytes.remaining());
  }
}
