package org.cellherd.forward.wire;

import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * What a centre says after its commit, one line a parcel.
 *
 * <pre>
 * LOG TOKEN REV CRC TOP SHARED
 * </pre>
 *
 * @param log UUID of the log
 * @param token of the sending that is answered
 * @param rev revision that the centre holds of this parcel: another than was sent when it had a
 *     newer one
 * @param crc CRC-32C of what it holds
 * @param top highest revision that it holds of this log
 * @param isShared true when another log came under the same site's name within the hour
 */
public record HeldText(String log, long token, long rev, long crc, long top, boolean isShared)
    implements CentreAnswer {

  private static final Pattern LINE =
      Pattern.compile(
          "([0-9a-f-]{36}) ([0-9a-f]{1,16}) ([0-9]{1,18}) ([0-9a-f]{1,8}) ([0-9]{1,18}) ([01])");

  @Override
  public String line() {
    return String.join(
        " ",
        log,
        Long.toHexString(token),
        Long.toString(rev),
        Long.toHexString(crc),
        Long.toString(top),
        isShared ? "1" : "0");
  }

  /** What a line says, if it is one of these. */
  static Optional<HeldText> parse(String line) {
    Matcher match = LINE.matcher(line);
    return match.matches()
        ? Optional.of(
            new HeldText(
                match.group(1),
                Long.parseUnsignedLong(match.group(2), 16),
                Long.parseLong(match.group(3)),
                Long.parseLong(match.group(4), 16),
                Long.parseLong(match.group(5)),
                match.group(6).equals("1")))
        : Optional.empty();
  }
}
