package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.function.IntUnaryOperator;

/** Looks for escapes in messages that lie between two marks. */
final class EscapeSearch {
  private static final List<IntUnaryOperator> RULES =
      List.of(b -> b ^ 0x20, b -> b ^ 0x80, b -> b, b -> b ^ 0xFF);

  private final int start;
  private final int end;

  EscapeSearch(List<Burst> bursts) {
    this.start = mostFrequent(bursts, true);
    this.end = mostFrequent(bursts, false);
  }

  private static int mostFrequent(List<Burst> bursts, boolean isFirst) {
    Map<Integer, Integer> counts = new HashMap<>();
    for (Burst burst : bursts) {
      counts.merge(burst.bytes()[isFirst ? 0 : burst.length() - 1] & 0xFF, 1, Integer::sum);
    }
    return counts.entrySet().stream()
        .filter(e -> e.getValue() * 10 >= bursts.size() * 6)
        .max(Map.Entry.comparingByValue())
        .map(Map.Entry::getKey)
        .orElse(-1);
  }

  /** Pieces of a burst from a start mark to the next end mark. */
  List<Burst> pieces(Burst burst) {
    List<Burst> pieces = new ArrayList<>();
    int from = -1;
    for (int i = 0; start >= 0 && end >= 0 && i < burst.length(); i++) {
      int b = burst.bytes()[i] & 0xFF;
      if (from >= 0 && b == end && i > from + 1) {
        pieces.add(burst.part(from, i + 1));
        from = -1;
      } else if (b == start) {
        from = i;
      }
    }
    return pieces;
  }

  /** Escapes that explain each byte behind an escape byte as one of the marks or itself. */
  List<Escape> escapes(List<Burst> pieces) {
    List<Escape> found = new ArrayList<>();
    for (int mark = 0; mark < 256; mark++) {
      List<Integer> followers = followers(pieces, mark);
      for (IntUnaryOperator rule : RULES) {
        Map<Integer, Integer> meaning = new HashMap<>();
        for (int special : new int[] {start, end, mark}) {
          meaning.put(rule.applyAsInt(special), special);
        }
        long explained = followers.stream().filter(meaning::containsKey).count();
        // A lost or changed byte may stand behind one of them.
        if (explained > 0 && explained * 10 >= followers.size() * 8L) {
          found.add(new Escape(mark, meaning));
        }
      }
    }
    return found;
  }

  private List<Integer> followers(List<Burst> pieces, int mark) {
    List<Integer> followers = new ArrayList<>();
    for (Burst piece : pieces) {
      byte[] bytes = piece.bytes();
      for (int i = 1; mark != start && mark != end && i < bytes.length - 1; i++) {
        if ((bytes[i] & 0xFF) == mark) {
          followers.add(bytes[++i] & 0xFF);
        }
      }
    }
    return followers;
  }
}
