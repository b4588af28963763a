package org.cellherd.page;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.time.ZoneId;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import org.cellherd.pack.TimeSource;
import org.cellherd.report.plot.Tracks;

/** A page on a free port, with what tests ask of it. */
final class TestPage implements AutoCloseable {

  static final PackHistory NO_HISTORY =
      (pack, from, to) ->
          new PackHistory.Stretch(
              new Tracks(from, to), List.of(), List.of(), List.of(), OptionalLong.empty(), "");

  private final LocalPage page;
  private final BlockingQueue<String> seen = new LinkedBlockingQueue<>();
  private final HttpClient http = HttpClient.newHttpClient();

  private TestPage(
      PageSettings settings, List<PagePack> packs, PackHistory history, TimeSource time)
      throws IOException {
    page =
        LocalPage.open(
            settings,
            new LocalPage.Parts(
                "cabin",
                "cellherd 0",
                packs,
                history,
                (id, by, answer) -> seen.add(id + " " + by),
                () -> LocalPage.Health.UNKNOWN,
                time,
                ZoneId.of("Europe/Lisbon")));
    page.serve(Map.of(), List.of(), List.of());
  }

  static TestPage of(
      PageSettings settings, List<PagePack> packs, PackHistory history, TimeSource time) {
    try {
      return new TestPage(settings, packs, history, time);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  LocalPage local() {
    return page;
  }

  /** What takes the news. */
  LiveBoard page() {
    return (LiveBoard) page.news();
  }

  String address() {
    return "http://127.0.0.1:" + page.address().getPort();
  }

  /** Acknowledgements as they came: id and by whom. */
  BlockingQueue<String> seen() {
    return seen;
  }

  HttpRequest.Builder request(String path) {
    return HttpRequest.newBuilder(URI.create(address() + path));
  }

  HttpResponse<String> send(HttpRequest.Builder request) {
    try {
      return http.send(request.build(), HttpResponse.BodyHandlers.ofString());
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new IllegalStateException(e);
    }
  }

  HttpResponse<String> get(String path) {
    return send(request(path));
  }

  /** Settings of a loopback page on a free port. */
  static PageSettings open() {
    return PageSettings.loopback(0);
  }

  /** Settings with a token. */
  static PageSettings locked(String token) {
    return new PageSettings(
        PageSettings.loopback(0).listen(),
        Optional.of(PageSettings.Token.of(token.toCharArray())),
        List.of("cabin.lan"),
        Optional.empty());
  }

  @Override
  public void close() {
    page.close();
  }
}
