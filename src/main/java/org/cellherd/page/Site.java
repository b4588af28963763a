package org.cellherd.page;

import java.io.IOException;
import java.io.OutputStream;
import java.net.URLEncoder;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Semaphore;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonValue;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.StorageFailure;
import org.cellherd.report.Made;
import org.cellherd.report.scene.Markup;
import org.jspecify.annotations.Nullable;

/**
 * What there is to ask for.
 *
 * <pre>
 * /                    all packs, or the only one        /api/events[?pack=ID]   server-sent events
 * /pack/ID             one pack now                      /api/past?pack=ID&span= a night, day, ...
 * /pack/ID/past        its past                          /api/seen   POST {"id":...}
 * /pack/ID/tests       its capacity tests                /metrics    figures
 * /reports[/NAME]      finished reports
 * </pre>
 */
final class Site {

  private static final String PACK = "/pack/";
  private static final String PAST = "/past";
  private static final String TESTS = "/tests";
  private static final String REPORTS = "/reports";

  /** What a report may do: be looked at. */
  private static final String REPORT_POLICY =
      "default-src 'none'; style-src 'unsafe-inline'; img-src data: 'self'; sandbox;"
          + " frame-ancestors 'none'";

  private static final Answer EVENTS =
      Answer.of(200, "text/event-stream; charset=utf-8", new byte[0]);

  private final LocalPage.Parts parts;
  private final Shell shell;
  private final LiveBoard board;
  private final Followers followers;
  private final Optional<ReportsFolder> reports;
  private final JsonReader reader = new JsonReader(JsonReader.Limits.MESSAGE);

  /** Reading the log takes memory: one at a time. */
  private final Semaphore pastReader = new Semaphore(1);

  Site(
      PageSettings settings,
      LocalPage.Parts parts,
      Shell shell,
      LiveBoard board,
      Followers followers) {
    this.parts = parts;
    this.shell = shell;
    this.board = board;
    this.followers = followers;
    this.reports = settings.reports().map(ReportsFolder::new);
  }

  /** Answers; null when the reply is kept for events. */
  @Nullable Answer answer(HttpRequest request, Reply reply) throws IOException {
    String path = request.path();
    if (request.is("POST")) {
      return path.equals("/api/seen") ? seen(request) : Answer.text(404, "nothing to post to");
    }
    return switch (path) {
      case "/" -> home();
      case "/api/events" -> events(request, reply);
      case "/api/past" -> past(request);
      case "/metrics" -> metrics(request);
      case REPORTS -> reportList();
      default -> byName(path);
    };
  }

  private Answer home() {
    if (parts.packs().size() == 1) {
      PackPlan only = parts.packs().get(0).plan();
      return now(only.id(), only.name());
    }
    return now("", "");
  }

  /** Makes the first view of the first pack for nobody. */
  void rehearse() {
    parts.packs().stream()
        .findFirst()
        .map(PagePack::plan)
        .ifPresent(
            plan -> {
              Guard.dressed(document(plan.id(), plan.name(), Optional.of(plan.id())));
            });
  }

  private Answer now(String id, String name) {
    Optional<String> only = Optional.of(id).filter(pack -> !pack.isEmpty());
    only.ifPresent(pack -> board.fill(pack, parts.history()));
    return document(id, name, only);
  }

  private Answer document(String id, String name, Optional<String> only) {
    return LiveDocument.answer(shell.now(id, name, followers.answer(only), followers.first(only)));
  }

  private Answer byName(String path) throws IOException {
    if (path.startsWith(REPORTS + "/")) {
      return report(path.substring(REPORTS.length() + 1));
    }
    if (!path.startsWith(PACK)) {
      return Answer.text(404, "nothing here");
    }
    String rest = path.substring(PACK.length());
    if (rest.endsWith(TESTS)) {
      return tests(rest.substring(0, rest.length() - TESTS.length()));
    }
    boolean isPast = rest.endsWith(PAST);
    String id = rest.substring(0, rest.length() - (isPast ? PAST.length() : 0));
    return plan(id)
        .map(p -> isPast ? Answer.html(200, shell.past(id, p.name())) : now(id, p.name()))
        .orElseGet(() -> Answer.text(404, "no such pack"));
  }

  private Answer tests(String id) {
    Optional<PackPlan> plan = plan(id);
    if (plan.isEmpty()) {
      return Answer.text(404, "no such pack");
    }
    return alone(
        () -> {
          String main = TestsView.of(plan.get(), parts.history().tests(id), parts.zone());
          return Answer.html(200, shell.tests(id, plan.get().name(), main));
        });
  }

  private Optional<PackPlan> plan(String id) {
    return pack(id).map(PagePack::plan);
  }

  private Optional<PagePack> pack(String id) {
    return parts.packs().stream().filter(p -> p.plan().id().equals(id)).findFirst();
  }

  private @Nullable Answer events(HttpRequest request, Reply reply) {
    Optional<String> only = request.query("pack");
    if (only.isPresent() && !board.knows(only.get())) {
      return Answer.text(404, "no such pack");
    }
    if (request.is("HEAD")) {
      return EVENTS;
    }
    only.ifPresent(pack -> board.fill(pack, parts.history()));
    return followers.follow(only, new Events(reply))
        ? null
        : Answer.text(503, "too many pages are open").with("Retry-After", "30");
  }

  /** An answer that goes on as long as the page is open. */
  private record Events(Reply reply) implements Followers.Line {
    @Override
    public OutputStream open() {
      return reply.stream(Guard.dressed(EVENTS));
    }
  }

  private Answer past(HttpRequest request) {
    Optional<PagePack> pack = request.query("pack").flatMap(this::pack);
    Optional<Span> span = request.query("span").flatMap(text -> Span.of(text, parts.zone()));
    if (pack.isEmpty() || span.isEmpty()) {
      return Answer.text(
          400,
          "ask with pack=ID&span=2026-11-25-night, 2026-11-25, 2026-11, 2026 or"
              + " 2026-11-25T18:00..2026-11-26T06:00");
    }
    return alone(
        () ->
            Answer.json(
                PastJson.of(
                    pack.get(),
                    parts
                        .history()
                        .read(pack.get().plan().id(), span.get().fromMs(), span.get().toMs()),
                    parts.zone())));
  }

  /** Answers from the log. */
  private interface FromLog {
    Answer answer() throws StorageFailure;
  }

  private Answer alone(FromLog fromLog) {
    if (!pastReader.tryAcquire()) {
      return Answer.text(503, "the log is being read for another page").with("Retry-After", "1");
    }
    try {
      return fromLog.answer();
    } catch (StorageFailure failure) {
      return Answer.text(503, "the log cannot be read: " + failure.getMessage());
    } finally {
      pastReader.release();
    }
  }

  private Answer seen(HttpRequest request) {
    if (!request.header("Content-Type").orElse("").startsWith("application/json")) {
      return Answer.text(415, "send application/json");
    }
    try {
      JsonValue value = reader.read(request.body());
      Optional<String> id = value.text("id");
      if (id.isEmpty() || board.alerts().stream().noneMatch(a -> a.id().equals(id.get()))) {
        return Answer.text(404, "no such alert");
      }
      parts.acknowledger().acknowledge(id.get(), "page, " + request.address());
      return Answer.text(202, "noted");
    } catch (JsonReader.Problem noJson) {
      return Answer.text(400, "send {\"id\": \"...\"}");
    }
  }

  private Answer metrics(HttpRequest request) {
    Exposition form = Accepted.of(request.header("Accept").orElse(""));
    String text = PackMetrics.text(form, board, parts.health().get(), followers.count());
    return Answer.of(200, form.contentType(), text.getBytes(StandardCharsets.UTF_8));
  }

  private Answer reportList() {
    if (reports.isEmpty()) {
      return Answer.text(404, "no folder of reports is configured");
    }
    List<ReportsFolder.Entry> entries = reports.get().list();
    if (entries.isEmpty()) {
      return Answer.html(200, shell.reports("<p>There is no report yet.</p>"));
    }
    Made made = new Made(parts.zone(), parts.time().wallMs(), parts.program());
    StringBuilder list = new StringBuilder("<ul class=\"reports\">");
    for (ReportsFolder.Entry entry : entries) {
      String href =
          REPORTS
              + "/"
              + URLEncoder.encode(entry.name(), StandardCharsets.UTF_8).replace("+", "%20");
      list.append("<li><a href=\"" + Markup.attribute(href) + "\"><bdi>")
          .append(Markup.text(entry.name()) + "</bdi></a> <span class=\"soft\">")
          .append(Markup.text(made.minute(entry.changedMs())) + "</span></li>");
    }
    return Answer.html(200, shell.reports(list.append("</ul>").toString()));
  }

  private Answer report(String name) throws IOException {
    if (reports.isEmpty()) {
      return Answer.text(404, "no folder of reports is configured");
    }
    Optional<byte[]> bytes = reports.get().read(name);
    return bytes
        .map(b -> Answer.of(200, ReportsFolder.type(name), b))
        .map(a -> a.with("Content-Security-Policy", REPORT_POLICY))
        .orElseGet(() -> Answer.text(404, "no such report"));
  }
}
