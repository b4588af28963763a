package org.cellherd.page;

import java.util.List;
import java.util.Optional;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.Priority;
import org.cellherd.pack.Spoken;
import org.cellherd.report.scene.Markup;

/**
 * What a page answers before its script has drawn anything: the worst alert and what to do, else
 * the headline, in the words and at the place of the script, which draws the rest around it.
 */
final class FirstLook {

  private final List<Alert> alerts;
  private final Optional<String> only;

  /**
   * Of a page.
   *
   * @param alerts all, the worst first
   * @param only the one pack that it shows; empty for all
   */
  FirstLook(List<Alert> alerts, Optional<String> only) {
    this.alerts = alerts;
    this.only = only;
  }

  /** One pack in full. */
  String of(PackNow pack, String headline) {
    String title = "<h1><bdi>" + Markup.text(pack.plan().name()) + "</bdi></h1>";
    // What is shown of a pack that is not heard was so once: that is read first.
    return pack.isStale()
        ? title
            + "<div class=\"stale\">"
            + headline(headline)
            + "</div>"
            + before(pack.liveSentence())
            + loudest(List.of(pack)).orElse("")
        : title + loudest(List.of(pack)).orElseGet(() -> headline(headline));
  }

  private static String before(String sentence) {
    return sentence.isEmpty()
        ? ""
        : "<p class=\"soft\">" + Markup.text("Before that: " + sentence) + "</p>";
  }

  String of(List<PackNow> packs) {
    long silent = packs.stream().filter(PackNow::isStale).count();
    String heard = silent == 0 ? "all heard" : silent + " not heard";
    return "<h1>Packs</h1>"
        + loudest(packs)
            .orElseGet(() -> headline(Spoken.counted(packs.size(), "pack") + ", " + heard + "."));
  }

  private static String headline(String text) {
    return "<p class=\"headline\" elementtiming=\"answer\">"
        + Markup.text(Markup.tied(text))
        + "</p>";
  }

  private Optional<Alert> loud() {
    return alerts.stream()
        .filter(alert -> only.isEmpty() || only.get().equals(alert.key().pack()))
        .filter(alert -> alert.state() != AlertState.RETURNED)
        .filter(alert -> alert.priority() != Priority.NOTE)
        .findFirst();
  }

  private Optional<String> loudest(List<PackNow> packs) {
    return loud()
        .map(
            alert ->
                "<ul class=\"alerts\"><li class=\"alert "
                    + alert.priority().word()
                    + " first\"><p class=\"what\" elementtiming=\"answer\">"
                    + Markup.text(Markup.tied(said(alert, packs)))
                    + "</p><p class=\"step\">"
                    + Markup.text(alert.firstStep())
                    + "</p></li></ul>");
  }

  private String said(Alert alert, List<PackNow> packs) {
    boolean isCritical = alert.priority() == Priority.CRITICAL;
    String how =
        alert.isGone()
            ? isCritical ? "Was critical" : "Was a warning"
            : isCritical ? "Critical" : "Warning";
    String where =
        packs.stream()
            .filter(pack -> only.isEmpty() && pack.plan().id().equals(alert.key().pack()))
            .map(pack -> ", " + pack.plan().name())
            .findFirst()
            .orElse("");
    return how + where + ": " + alert.text();
  }
}
