package org.cellherd.page;

import java.time.ZoneId;
import org.cellherd.pack.Cautions;
import org.cellherd.pack.TimeSource;
import org.cellherd.report.scene.Markup;

/** The HTML around every view: head, ways to go, cautions. The views themselves are scripts. */
final class Shell {

  private static final String VIEWPORT = "width=device-width,initial-scale=1";

  private static final String FILES =
      "<link rel=\"icon\" href=\"/asset/icon.svg\"><link rel=\"stylesheet\" href=\"/asset/page.css\">";

  /** The icon says what the page says. */
  private static final String ICONS =
      "<link rel=\"icon\" href=\""
          + LiveDocument.icon("icon.svg")
          + "\" data-warning=\""
          + LiveDocument.icon("icon-warning.svg")
          + "\" data-critical=\""
          + LiveDocument.icon("icon-critical.svg")
          + "\">";

  private static final String SCRIPTED = scripted("");

  private final String site;
  private final ZoneId zone;
  private final boolean hasReports;
  private final TimeSource time;

  Shell(String site, ZoneId zone, boolean hasReports, TimeSource time) {
    this.site = site;
    this.zone = zone;
    this.hasReports = hasReports;
    this.time = time;
  }

  /**
   * All packs, or one in full when {@code pack} is not empty: a document that needs nothing else.
   *
   * @param look the answer, which is painted before the script runs, HTML
   * @param news what it shows first, JSON
   */
  String now(String pack, String name, String look, String news) {
    String title = title(name.isEmpty() ? "Packs" : name);
    String body = body(data("now", pack), scripted(look));
    String scripts =
        "<script type=\"application/json\" id=\"news\">"
            + LiveDocument.json(news)
            + "</script><script type=\"module\">"
            + LiveDocument.SCRIPT
            + "</script>";
    return document(title, ICONS + "<style>" + LiveDocument.STYLE + "</style>", body + scripts);
  }

  /** The past of a pack. */
  String past(String pack, String name) {
    String head =
        "<link rel=\"stylesheet\" href=\"/asset/plot.css\">"
            + ahead("common.js")
            + "<script defer src=\"/asset/plot.js\"></script>"
            + scripts("past.js");
    return page(name, data("past", pack), SCRIPTED, head);
  }

  /** Capacity tests of a pack, drawn before. */
  String tests(String pack, String name, String main) {
    String way =
        "<p><a href=\"/pack/"
            + pack
            + "\">Now</a> <a href=\"/pack/"
            + pack
            + "/past\">Past</a></p>";
    return page(
        "Capacity tests of " + name,
        "",
        "<main id=\"main\" class=\"tests\">" + way + main + "</main>",
        "");
  }

  /** A list that was made before. */
  String reports(String list) {
    return page("Reports", "", "<main id=\"main\"><h1>Reports</h1>" + list + "</main>", "");
  }

  /** Asks for the token. */
  String login(String wrong) {
    String problem =
        wrong.isEmpty() ? "" : "<p class=\"problem\" role=\"alert\">" + Markup.text(wrong) + "</p>";
    String form =
        "<main id=\"main\" class=\"login\"><h1>cellherd</h1>"
            + problem
            + "<form method=\"post\" action=\"/login\"><label for=\"token\">Token</label>"
            + "<input id=\"token\" name=\"token\" type=\"password\" required"
            + " autocomplete=\"current-password\"><button>Open</button></form>"
            + "<p class=\"soft\">It is in the token_file of [page] on the computer that runs"
            + " cellherd.</p></main>";
    return document("cellherd", FILES + scripts("login.js"), "<body>" + form + footer());
  }

  private static String data(String view, String pack) {
    return " data-view=\"" + view + "\" data-pack=\"" + Markup.attribute(pack) + "\"";
  }

  private String page(String title, String data, String main, String head) {
    return document(title(title), FILES + head, body(data, main));
  }

  private String title(String title) {
    return title + " \u00b7 " + site;
  }

  private String body(String data, String main) {
    return "<body data-zone=\""
        + Markup.attribute(zone.getId())
        + "\" data-now=\""
        + time.wallMs()
        + "\""
        + data
        + "><a class=\"skip\" href=\"#main\">Skip to content</a>"
        + header()
        + main
        + footer();
  }

  private String header() {
    return "<header><nav aria-label=\"Views\"><a href=\"/\">"
        + Markup.text(site)
        + "</a>"
        + (hasReports ? "<a href=\"/reports\">Reports</a>" : "")
        + "</nav><p id=\"contact\" class=\"soft\" role=\"status\"></p></header>";
  }

  private static String footer() {
    return "<footer><h2>Cautions</h2><p>"
        + Markup.text(String.join(" ", Cautions.LIST))
        + "</p></footer>";
  }

  private static String scripted(String look) {
    return "<main id=\"main\">"
        + look
        + "<noscript><p>This page needs its script, which comes from this computer"
        + " only.</p></noscript></main>";
  }

  private static String scripts(String module) {
    return "<script type=\"module\" src=\"/asset/" + module + "\"></script>";
  }

  /** What a module imports is fetched beside it, not after it. */
  private static String ahead(String module) {
    return "<link rel=\"modulepreload\" href=\"/asset/" + module + "\">";
  }

  private static String document(String title, String head, String body) {
    return "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>"
        + Markup.text(title)
        + "</title><meta name=\"viewport\" content=\""
        + VIEWPORT
        + "\">"
        + "<meta name=\"color-scheme\" content=\"light dark\">"
        + head
        + "</head>\n"
        + body
        + "</body></html>\n";
  }
}
