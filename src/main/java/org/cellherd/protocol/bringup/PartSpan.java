package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;

/**
 * A part of a message as a description names it.
 *
 * @param name start, fixed_1, code, length, data, checksum, end
 * @param from first byte, from 0; before 0 for marks of a hex line
 * @param bytes how many; 0 for the data
 * @param hex what always stands there, or empty
 */
record PartSpan(String name, int from, int bytes, String hex) {

  /** The parts of a structure, in order. */
  static List<PartSpan> of(Structure s) {
    List<PartSpan> parts = new ArrayList<>();
    Sample first = s.samples().get(0);
    boolean isHex = s.cut().isHex();
    if (isHex) {
      int n = s.cut().line().startBytes();
      parts.add(new PartSpan("start", -n, n, hex(first.wire(), 0, n)));
    }
    int coveredFrom = s.checksum().map(f -> f.form().from()).orElse(0);
    for (int at = 0; at < s.dataAt(); ) {
      PartSpan part = headerPart(s, at, coveredFrom, parts);
      parts.add(part);
      at += part.bytes();
    }
    parts.add(new PartSpan("data", s.dataAt(), 0, ""));
    s.checksum()
        .filter(f -> !f.form().isInFront())
        .ifPresent(f -> parts.add(new PartSpan("checksum", Integer.MAX_VALUE, f.width(), "")));
    int after =
        isHex ? s.cut().line().endBytes() : s.checksum().map(f -> f.form().after()).orElse(0);
    if (after > 0) {
      byte[] bytes = isHex ? first.wire() : first.bytes();
      String mark = hex(bytes, bytes.length - after, bytes.length);
      boolean isBehind = s.cut().escape().filter(e -> e.behind() > 0).isPresent();
      int rank = parts.size() - (isBehind ? 1 : 0);
      parts.add(rank, new PartSpan("end", Integer.MAX_VALUE, after, mark));
    }
    return parts;
  }

  private static PartSpan headerPart(Structure s, int at, int coveredFrom, List<PartSpan> before) {
    if (s.code().orElse(-1) == at) {
      return new PartSpan("code", at, 1, "");
    }
    LengthFit length = s.length().filter(LengthFit::isProven).orElse(null);
    if (length != null && length.at() == at) {
      return new PartSpan("length", at, length.bytes(), "");
    }
    int check = s.checksum().map(f -> f.form().front()).orElse(ChecksumFit.Form.AT_END);
    if (check == at) {
      return new PartSpan("checksum", at, s.checksum().orElseThrow().width(), "");
    }
    int to = at + 1;
    // A mark is one byte; what follows it may be escaped.
    boolean isMark = at == 0 && s.cut().escape().isPresent();
    while (!isMark
        && to < s.dataAt()
        && to != check
        && to != coveredFrom
        && s.code().orElse(-1) != to
        && (length == null || length.at() != to)) {
      to++;
    }
    String name = before.isEmpty() ? "start" : "fixed_" + before.size();
    return new PartSpan(name, at, to - at, hex(s.samples().get(0).bytes(), at, to));
  }

  private static String hex(byte[] bytes, int from, int to) {
    return HexFormat.ofDelimiter(" ").withUpperCase().formatHex(bytes, from, to);
  }

  /** True for parts before the check value from some byte on. */
  boolean isCoveredFrom(int first) {
    return from >= first && from != Integer.MAX_VALUE && !name.equals("checksum");
  }

  /** The data, and those parts besides it that together have some bytes: what a length counts. */
  static List<String> adding(List<PartSpan> parts, int extra, int unit) {
    List<PartSpan> others = parts.stream().filter(p -> p.bytes() > 0 && p.from() >= 0).toList();
    // From the data outwards: check value, then end, then the header from its last part on.
    for (int mask = 0; mask < 1 << Math.min(10, others.size()); mask++) {
      List<String> names = new ArrayList<>(List.of("data"));
      int bytes = 0;
      for (int i = 0; i < others.size(); i++) {
        if ((mask >> i & 1) != 0) {
          PartSpan part = others.get(others.size() - 1 - i);
          names.add(part.name());
          bytes += part.bytes();
        }
      }
      if (bytes * unit == extra) {
        return names;
      }
    }
    return List.of("data");
  }

  /** Bytes of the named parts, data apart. */
  static int bytes(List<PartSpan> parts, List<String> names) {
    return parts.stream().filter(p -> names.contains(p.name())).mapToInt(PartSpan::bytes).sum();
  }
}
