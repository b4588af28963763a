package org.cellherd.page;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.zip.CRC32C;
import org.cellherd.report.scene.SvgWriter;
import org.cellherd.report.scene.Theme;
import org.jspecify.annotations.Nullable;

/** The page's own files, from the jar, packed once. Any thread. */
final class Assets {

  /** Where they are; open to all, since they hold nothing of the packs. */
  public static final String OPEN_PATH = "/asset/";

  private static final String PLOTTER = "/META-INF/resources/webjars/uplot/1.6.30/dist/";

  private static final Map<String, String> TYPES =
      Map.of(
          "js", "text/javascript; charset=utf-8",
          "css", "text/css; charset=utf-8",
          "svg", "image/svg+xml");

  /** Names as asked for, and the resources that they are. */
  private static final Map<String, String> FILES =
      Map.ofEntries(
          own("page.css"),
          own("common.js"),
          own("past.js"),
          own("login.js"),
          own("icon.svg"),
          Map.entry("plot.js", PLOTTER + "uPlot.iife.min.js"),
          Map.entry("plot.css", PLOTTER + "uPlot.min.css"));

  private static final Map<String, Asset> READ = new ConcurrentHashMap<>();

  private Assets() {}

  private static Map.Entry<String, String> own(String name) {
    return Map.entry(name, "/org/cellherd/page/" + name);
  }

  private static final class Asset {
    private final byte[] plain;
    private final byte[] packed;
    private final String mark;

    Asset(byte[] plain) {
      this.plain = plain;
      this.packed = Packed.gzip(plain);
      CRC32C sum = new CRC32C();
      sum.update(plain);
      this.mark = "\"" + Long.toHexString(sum.getValue()) + "\"";
    }
  }

  static Answer answer(HttpRequest request, String name) {
    Asset asset = find(name);
    if (asset == null) {
      return Answer.text(404, "no such file");
    }
    String type = TYPES.getOrDefault(name.substring(name.lastIndexOf('.') + 1), "text/plain");
    boolean known = request.header("If-None-Match").orElse("").equals(asset.mark);
    boolean packs = request.takesPacked();
    Answer answer =
        Answer.of(known ? 304 : 200, type, known ? new byte[0] : packs ? asset.packed : asset.plain)
            .with("ETag", asset.mark)
            .with("Vary", "Accept-Encoding")
            .with("Cache-Control", "no-cache");
    return packs && !known ? answer.with("Content-Encoding", "gzip") : answer;
  }

  /** The text of one of the page's own files, asked for by the browser or not. */
  static String text(String name) {
    return new String(whole(name, own(name).getValue()), StandardCharsets.UTF_8);
  }

  private static @Nullable Asset find(String name) {
    String resource = FILES.get(name);
    return resource == null ? null : READ.computeIfAbsent(name, n -> new Asset(whole(n, resource)));
  }

  /** The page's style begins with its colours: one request less before anything is drawn. */
  private static byte[] whole(String name, String resource) {
    byte[] own = read(resource);
    if (!name.equals("page.css")) {
      return own;
    }
    byte[] inks = inks().getBytes(StandardCharsets.UTF_8);
    byte[] both = Arrays.copyOf(inks, inks.length + own.length);
    System.arraycopy(own, 0, both, inks.length, own.length);
    return both;
  }

  /** The colours of the reports, in both themes. */
  private static String inks() {
    return ":root{"
        + SvgWriter.variables(Theme.LIGHT)
        + "}\n@media screen and (prefers-color-scheme:dark){:root{"
        + SvgWriter.variables(Theme.DARK)
        + "}}\n"
        + SvgWriter.pageStyles()
        + "\n";
  }

  private static byte[] read(String resource) {
    try (InputStream in = Assets.class.getResourceAsStream(resource)) {
      if (in == null) {
        throw new IllegalStateException("the jar lacks " + resource);
      }
      return in.readAllBytes();
    } catch (IOException e) {
      throw new IllegalStateException("the jar cannot be read: " + resource, e);
    }
  }
}
