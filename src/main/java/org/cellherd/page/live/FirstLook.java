package org.cellherd.page.live;

import java.util.List;
import java.util.Optional;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.Priority;
import org.cellherd.pack.Spoken;
import org.cellherd.report.scene.Markup;

/**
 * What a page answers before its script has drawn anything: the worst alert and what to do, and the
 * headline, in the words and the order of the script, which puts the whole in its place.
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
            + headline(headline, "")
            + "</div>"
            + loudest(List.of(pack))
        : title + loudest(List.of(pack)) + headline(headline, calm());
  }

  /** All packs in brief. */
  String of(List<PackNow> packs) {
    long silent = packs.stream().filter(PackNow::isStale).count();
    String heard = silent == 0 ? "all heard" : silent + " not heard";
    return "<h1>Packs</h1>"
        + loudest(packs)
        + headline(Spoken.counted(packs.size(), "pack") + ", " + heard + ".", calm());
  }

  /** A calm sentence is never larger than an alert. */
  private String calm() {
    return loud().isPresent() ? " calm" : "";
  }

  private static String headline(String text, String look) {
    return "<p class=\"headline"
        + look
        + "\" elementtiming=\"answer\">"
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

  private String loudest(List<PackNow> packs) {
    return loud()
        .map(
            alert ->
                "<ul class=\"alerts\"><li class=\"alert "
                    + alert.priority().word()
                    + " first\"><p class=\"what\" elementtiming=\"answer\">"
                    + Markup.text(Markup.tied(said(alert, packs)))
                    + "</p><p class=\"step\">"
                    + Markup.text(alert.firstStep())
                    + "</p></li></ul>")
        .orElse("");
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
