package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.function.IntUnaryOperator;
import java.util.function.ToIntFunction;

/** Looks for escapes in messages that lie between two marks. */
final class EscapeSearch {
  private static final List<IntUnaryOperator> RULES =
      List.of(b -> b ^ 0x20, b -> b ^ 0x80, b -> b, b -> b ^ 0xFF);

  /** RFC 1055: each special byte has an own substitute. */
  private static final int SLIP = 0xDB;

  private static final Map<Integer, Integer> SLIP_MEANING = Map.of(0xDC, 0xC0, 0xDD, 0xDB);

  /** Bytes of check values that may stand plain behind the end mark. */
  private static final List<Integer> BEHIND = List.of(0, 1, 2, 4);

  private final int start;
  private final int end;
  private final int behind;

  private EscapeSearch(int start, int end, int behind) {
    this.start = start;
    this.end = end;
    this.behind = behind;
  }

  /** A search between each two marks that bursts may begin and end with. */
  static List<EscapeSearch> of(List<Burst> bursts) {
    List<EscapeSearch> all = new ArrayList<>();
    for (int start : frequent(bursts, b -> 0)) {
      for (int behind : BEHIND) {
        for (int end : frequent(bursts, b -> b.length() - 1 - behind)) {
          all.add(new EscapeSearch(start, end, behind));
        }
      }
    }
    return all;
  }

  /** Where requests of another form are heard, too, answers are less than half of all bursts. */
  private static List<Integer> frequent(List<Burst> bursts, ToIntFunction<Burst> place) {
    Map<Integer, Integer> counts = new HashMap<>();
    for (Burst burst : bursts) {
      int at = place.applyAsInt(burst);
      if (at >= 0) {
        counts.merge(burst.bytes()[at] & 0xFF, 1, Integer::sum);
      }
    }
    return counts.entrySet().stream()
        .filter(e -> e.getValue() * 10 >= bursts.size() * 3)
        .map(Map.Entry::getKey)
        .toList();
  }

  /** Pieces of a burst from a start mark to the next end mark and what stands behind that. */
  List<Burst> pieces(Burst burst) {
    List<Burst> pieces = new ArrayList<>();
    int from = -1;
    for (int i = 0; i < burst.length(); i++) {
      int b = burst.bytes()[i] & 0xFF;
      if (from >= 0 && b == end && i > from + 1 && i + behind < burst.length()) {
        i += behind;
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
          found.add(new Escape(mark, meaning, behind));
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
    if (mark == SLIP) {
      meanings.add(SLIP_MEANING);
    }
    return meanings;
  }

  private List<Integer> followers(List<Burst> pieces, int mark) {
    List<Integer> followers = new ArrayList<>();
    for (Burst piece : pieces) {
      byte[] bytes = piece.bytes();
      for (int i = 1; mark != start && mark != end && i < bytes.length - 1 - behind; i++) {
        if ((bytes[i] & 0xFF) == mark) {
          followers.add(bytes[++i] & 0xFF);
        }
      }
    }
    return followers;
  }
}
