package org.cellherd.alert.news;

import java.util.List;
import java.util.Optional;
import org.cellherd.alert.Priority;
import org.cellherd.pack.Facts;

/**
 * The line of the day: what last night was like, in a sentence or two a pack. It stays for as long
 * as it counts; whoever listens notices by its age when nobody spoke.
 *
 * @param timeMs when it was made, ms UTC
 * @param day the local date it is about, such as {@code 2026-03-04}
 * @param validS seconds for which it counts
 * @param packs each pack's part
 */
public record MorningLine(long timeMs, String day, long validS, List<Part> packs) {

  /**
   * What is said of one pack.
   *
   * @param pack its id
   * @param text the sentences, beginning with the pack's name
   * @param alerts how many were raised since the day before
   * @param worst of these
   */
  public record Part(String pack, String text, int alerts, Optional<Priority> worst) {}

  public MorningLine {
    packs = List.copyOf(packs);
  }

  public String text() {
    return String.join(" ", packs.stream().map(Part::text).toList());
  }

  /** The JSON of the topic {@code morning}. */
  public Facts facts() {
    List<Facts> parts =
        packs.stream()
            .map(
                part ->
                    Facts.of()
                        .put("pack", part.pack())
                        .put("text", part.text())
                        .put("alerts", part.alerts())
                        .put("worst", part.worst().map(Priority::word).orElse(null))
                        .build())
            .toList();
    return Facts.of()
        .putTime("time", timeMs)
        .put("day", day)
        .put("valid_s", validS)
        .put("text", text())
        .put("packs", parts)
        .build();
  }
}
