package org.cellherd.protocol.bringup;

import java.nio.charset.StandardCharsets;
import java.util.HexFormat;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.cellherd.protocol.checksum.Checksum;
import org.cellherd.protocol.checksum.Checksums;

/**
 * A check value in hex digits at the end of lines, behind a mark.
 *
 * @param checksum the algorithm
 * @param mark the character before it
 * @param skip characters at the beginning that it does not cover
 * @param passed lines that pass
 * @param tried lines that end so
 * @param bits the odds of a coincidence are 1 in 2^bits
 */
record LineCheckFit(Checksum checksum, char mark, int skip, int passed, int tried, int bits) {
  private static final int MOST_SKIP = 2;

  /** What trying all of them costs in bits. */
  private static final int COST_BITS = 7;

  /** The best fit, when one passes most of the lines. */
  static Optional<LineCheckFit> best(List<String> lines) {
    Optional<LineCheckFit> best = Optional.empty();
    for (Checksum checksum : Checksums.all()) {
      for (int skip = 0; skip <= MOST_SKIP; skip++) {
        LineCheckFit fit = fit(lines, checksum, skip);
        boolean isMost = fit.passed * 10 >= fit.tried * 6 && fit.tried * 2 >= lines.size();
        if (isMost && fit.bits > best.map(LineCheckFit::bits).orElse(0)) {
          best = Optional.of(fit);
        }
      }
    }
    return best;
  }

  private static LineCheckFit fit(List<String> lines, Checksum checksum, int skip) {
    int digits = 2 * checksum.bytes();
    Set<String> passed =
        lines.stream()
            .filter(l -> endsWithDigits(l, digits, skip))
            .filter(l -> passes(l, checksum, digits, skip))
            .collect(Collectors.toSet());
    long tried = lines.stream().filter(l -> endsWithDigits(l, digits, skip)).count();
    char mark = passed.isEmpty() ? '*' : markOf(passed.iterator().next(), digits);
    boolean isOneMark = passed.stream().allMatch(l -> markOf(l, digits) == mark);
    int bits = isOneMark ? passed.size() * 8 * checksum.bytes() - COST_BITS : 0;
    return new LineCheckFit(checksum, mark, skip, passed.size(), (int) tried, Math.max(0, bits));
  }

  private static char markOf(String line, int digits) {
    return line.charAt(line.length() - digits - 1);
  }

  private static boolean endsWithDigits(String line, int digits, int skip) {
    int from = line.length() - digits;
    return from > skip + 2
        && !Character.isLetterOrDigit(line.charAt(from - 1))
        && line.substring(from).chars().allMatch(HexFormat::isHexDigit);
  }

  private static boolean passes(String line, Checksum checksum, int digits, int skip) {
    byte[] bytes = line.getBytes(StandardCharsets.ISO_8859_1);
    long told = HexFormat.fromHexDigitsToLong(line.substring(line.length() - digits));
    return checksum.over(bytes, skip, bytes.length - digits - 1) == told;
  }

  /** A line without mark and check value. */
  String body(String line) {
    int end = line.length() - 2 * checksum.bytes() - 1;
    return end > 0 && line.charAt(end) == mark ? line.substring(0, end) : line;
  }
}
