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

  /** RFC 1055: each special byte has an own substitute. */
  private static final Escape SLIP = new Escape(0xDB, Map.of(0xDC, 0xC0, 0xDD, 0xDB));

  private final int start;
  private final int end;

  private EscapeSearch(int start, int end) {
    this.start = start;
    this.end = end;
  }

  /** A search between each two marks that bursts may begin and end with. */
  static List<EscapeSearch> of(List<Burst> bursts) {
    List<EscapeSearch> all = new ArrayList<>();
    for (int start : frequent(bursts, true)) {
      for (int end : frequent(bursts, false)) {
        all.add(new EscapeSearch(start, end));
      }
    }
    return all;
  }

  /** Where requests of another form are heard, too, answers are less than half of all bursts. */
  private static List<Integer> frequent(List<Burst> bursts, boolean isFirst) {
    Map<Integer, Integer> counts = new HashMap<>();
    for (Burst burst : bursts) {
      counts.merge(burst.bytes()[isFirst ? 0 : burst.length() - 1] & 0xFF, 1, Integer::sum);
    }
    return counts.entrySet().stream()
        .filter(e -> e.getValue() * 10 >= bursts.size() * 3)
        .map(Map.Entry::getKey)
        .toList();
  }

  /** Pieces of a burst from a start mark to the next end mark. */
  List<Burst> pieces(Burst burst) {
    List<Burst> pieces = new ArrayList<>();
    int from = -1;
    for (int i = 0; i < burst.length(); i++) {
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
      for (Map<Integer, Integer> meaning : meanings(mark)) {
        long explained = followers.stream().filter(meaning::containsKey).count();
        // A lost or changed byte may stand behind one of them.
        if (explained > 0 && explained * 10 >= followers.size() * 8L) {
          found.add(new Escape(mark, meaning));
        }
      }
    }
    return found;
  }

  /** What may follow an escape byte, and what it means. */
  private List<Map<Integer, Integer>> meanings(int mark) {
    List<Map<Integer, Integer>> meanings = new ArrayList<>();
    for (IntUnaryOperator rule : RULES) {
      Map<Integer, Integer> meaning = new HashMap<>();
      for (int special : new int[] {start, end, mark}) {
        meaning.put(rule.applyAsInt(special), special);
      }
      meanings.add(meaning);
    }
    if (mark == SLIP.mark()) {
      meanings.add(SLIP.meaning());
    }
    return meanings;
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
