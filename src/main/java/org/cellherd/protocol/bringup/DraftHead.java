package org.cellherd.protocol.bringup;

import java.util.List;

/** The first lines of a drafted description. */
final class DraftHead {
  private DraftHead() {}

  static String of(String id, boolean isAsked, List<String> found, List<String> open) {
    StringBuilder out = new StringBuilder();
    out.append("# Drafted from a capture. Complete it by hand: names, units, scales, the");
    out.append(" current's sign.\n");
    found.forEach(t -> out.append("# ").append(printable(t)).append('\n'));
    open.forEach(t -> out.append("# Open: ").append(printable(t)).append('\n'));
    out.append("spec = 1\nid = \"").append(id).append("\"\n");
    out.append("title = \"Draft of ").append(id).append("\"\n");
    out.append("talk = \"").append(isAsked ? "poll" : "listen").append("\"\n");
    return out.append("\n[line]\nbaud = 9600 # as the capture was made\n").toString();
  }

  /** A comment of a description may hold no control characters. */
  private static String printable(String text) {
    return text.replaceAll("[^ -~]", "?");
  }
}
