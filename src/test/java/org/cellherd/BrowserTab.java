package org.cellherd;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.WebSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Base64;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CompletionStage;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.atomic.AtomicLong;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonText;
import org.cellherd.json.JsonValue;
import org.cellherd.pack.Facts;

/**
 * One tab of a {@link Browser}, driven by the DevTools protocol (published by the Chromium
 * project). For one test thread.
 */
public final class BrowserTab implements AutoCloseable {

  private static final long PATIENCE_S = 120;

  private final AtomicInteger calls = new AtomicInteger();
  private final Map<Long, CompletableFuture<JsonValue>> answers = new ConcurrentHashMap<>();
  private final List<String> requests = new CopyOnWriteArrayList<>();
  private final List<String> complaints = new CopyOnWriteArrayList<>();
  private final AtomicInteger loads = new AtomicInteger();
  private final AtomicLong receivedBytes = new AtomicLong();
  private final CompletableFuture<WebSocket> socket = new CompletableFuture<>();

  private BrowserTab() {}

  static BrowserTab open(HttpClient http, URI address) {
    BrowserTab tab = new BrowserTab();
    tab.socket.complete(
        http.newWebSocketBuilder()
            .buildAsync(address, tab.new Ear())
            .orTimeout(PATIENCE_S, TimeUnit.SECONDS)
            .join());
    for (String domain : List.of("Page", "Runtime", "Network", "Log", "DOM")) {
      tab.call(domain + ".enable", Facts.NONE);
    }
    tab.size(1400, 900);
    tab.dark(false);
    return tab;
  }

  /** Width and height of the window in CSS pixels. */
  public void size(int width, int height) {
    call(
        "Emulation.setDeviceMetricsOverride",
        Facts.of()
            .put("width", width)
            .put("height", height)
            .put("deviceScaleFactor", 1)
            .put("mobile", width < 600)
            .build());
  }

  /** What the person's system prefers. */
  public void dark(boolean dark) {
    media(dark, false);
  }

  /** What the person's system prefers. */
  public void media(boolean dark, boolean reducedMotion) {
    call(
        "Emulation.setEmulatedMedia",
        Facts.of()
            .put(
                "features",
                List.of(
                    feature("prefers-color-scheme", dark ? "dark" : "light"),
                    feature("prefers-reduced-motion", reducedMotion ? "reduce" : "no-preference")))
            .build());
  }

  private static Facts feature(String name, String value) {
    return Facts.of().put("name", name).put("value", value).build();
  }

  /** Opens an address ({@code http:} or {@code file:}) and waits until it is loaded. */
  public void go(String address) {
    int before = loads.get();
    JsonValue result = call("Page.navigate", Facts.of().put("url", address).build());
    result
        .text("errorText")
        .ifPresent(
            error -> {
              throw new AssertionError(address + ": " + error);
            });
    Await.until("loaded: " + address, () -> loads.get() > before);
  }

  /** The value of an expression, awaited when it is a promise. */
  public JsonValue evaluate(String expression) {
    JsonValue answer =
        call(
            "Runtime.evaluate",
            Facts.of()
                .put("expression", expression)
                .put("returnByValue", true)
                .put("awaitPromise", true)
                .build());
    if (answer.get("exceptionDetails").isPresent()) {
      throw new AssertionError(expression + ": " + answer.get("exceptionDetails").get());
    }
    return answer.get("result").flatMap(r -> r.get("value")).orElse(new JsonValue.JsonNull());
  }

  /** The text of an expression. */
  public String text(String expression) {
    JsonValue value = evaluate("String(" + expression + ")");
    return ((JsonValue.JsonString) value).value();
  }

  /** The number of an expression. */
  public double number(String expression) {
    return evaluate("Number(" + expression + ")").number("").orElseThrow();
  }

  /** Whether an expression is truthy. */
  public boolean is(String expression) {
    return evaluate("!!(" + expression + ")") instanceof JsonValue.JsonTruth truth && truth.value();
  }

  /** Waits until an expression is truthy, over a change of page, too; not for ever. */
  public void await(String expression) {
    Await.until(expression, () -> isOnThisPage(expression));
  }

  /** No while the old page goes and the new one is not there yet. */
  private boolean isOnThisPage(String expression) {
    try {
      return is(expression);
    } catch (AssertionError failed) {
      if (String.valueOf(failed.getMessage()).contains("navigated or closed")) {
        return false;
      }
      throw failed;
    }
  }

  /** Presses and releases a key: {@code Tab}, {@code Enter}, {@code Space}, {@code Escape}. */
  public void press(String key) {
    int code =
        switch (key) {
          case "Tab" -> 9;
          case "Enter" -> 13;
          case "Escape" -> 27;
          case "Space" -> 32;
          case "ArrowLeft" -> 37;
          case "ArrowRight" -> 39;
          default -> throw new IllegalArgumentException("no key " + key);
        };
    String text = key.equals("Enter") ? "\r" : key.equals("Space") ? " " : "";
    Facts.Builder down =
        Facts.of().put("type", "keyDown").put("windowsVirtualKeyCode", code).put("code", key);
    down.put("key", key.equals("Space") ? " " : key);
    call("Input.dispatchKeyEvent", text.isEmpty() ? down.build() : down.put("text", text).build());
    call(
        "Input.dispatchKeyEvent",
        Facts.of()
            .put("type", "keyUp")
            .put("windowsVirtualKeyCode", code)
            .put("code", key)
            .put("key", key.equals("Space") ? " " : key)
            .build());
  }

  /** Types text where the focus is. */
  public void type(String text) {
    call("Input.insertText", Facts.of().put("text", text).build());
  }

  /** Saves what the window shows; of the whole page when asked. */
  public void screenshot(Path png, boolean whole) {
    JsonValue answer =
        call(
            "Page.captureScreenshot",
            Facts.of().put("format", "png").put("captureBeyondViewport", whole).build());
    try {
      Files.write(png, Base64.getDecoder().decode(answer.text("data").orElseThrow()));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** What a screen reader is told, in order: {@code role "name"}; ignored nodes are left out. */
  public List<String> accessibility() {
    List<String> nodes = new ArrayList<>();
    for (JsonValue node : call("Accessibility.getFullAXTree", Facts.NONE).items("nodes")) {
      if (node.truth("ignored").orElse(false)) {
        continue;
      }
      String role = node.get("role").flatMap(r -> r.text("value")).orElse("");
      String name = node.get("name").flatMap(n -> n.text("value")).orElse("");
      nodes.add(role + " \"" + name + "\"");
    }
    return nodes;
  }

  /** True when the page is wider than the window. */
  public boolean scrollsSideways() {
    return is("document.documentElement.scrollWidth > document.documentElement.clientWidth");
  }

  /** Addresses that were asked for since the tab was opened. */
  public List<String> requests() {
    return List.copyOf(requests);
  }

  /** Errors and warnings of the console, uncaught errors, and what the page's policy refused. */
  public List<String> complaints() {
    return List.copyOf(complaints);
  }

  /** Bytes of bodies, as packed, that came over the wire since the tab was opened. */
  public long receivedBytes() {
    return receivedBytes.get();
  }

  /** Any call of the protocol; its result. */
  public JsonValue call(String method, Facts params) {
    long id = calls.incrementAndGet();
    CompletableFuture<JsonValue> answer = new CompletableFuture<>();
    answers.put(id, answer);
    Facts call = Facts.of().put("id", id).put("method", method).put("params", params).build();
    socket.join().sendText(JsonText.of(call), true).join();
    try {
      return answer.get(PATIENCE_S, TimeUnit.SECONDS);
    } catch (ExecutionException | TimeoutException e) {
      throw new AssertionError(method + ": " + e.getMessage(), e);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new AssertionError(e);
    }
  }

  private void took(String message) {
    JsonValue value;
    try {
      value = Browser.reader().read(message);
    } catch (JsonReader.Problem e) {
      throw new IllegalStateException(e);
    }
    if (value.whole("id").isPresent()) {
      CompletableFuture<JsonValue> answer = answers.remove(value.whole("id").getAsLong());
      if (answer == null) {
        return;
      }
      if (value.get("error").isPresent()) {
        answer.completeExceptionally(new IllegalStateException(value.get("error").toString()));
      } else {
        answer.complete(value.get("result").orElseThrow());
      }
      return;
    }
    value.get("params").ifPresent(params -> happened(value.text("method").orElse(""), params));
  }

  private void happened(String event, JsonValue params) {
    switch (event) {
      case "Page.loadEventFired" -> loads.incrementAndGet();
      case "Network.requestWillBeSent" ->
          params.get("request").flatMap(r -> r.text("url")).ifPresent(requests::add);
      case "Network.dataReceived" ->
          receivedBytes.addAndGet((long) params.number("encodedDataLength").orElse(0));
      case "Runtime.exceptionThrown" -> complaints.add(params.toString());
      case "Log.entryAdded" ->
          params
              .get("entry")
              .filter(e -> List.of("error", "warning").contains(e.text("level").orElse("")))
              .ifPresent(e -> complaints.add(e.toString()));
      case "Runtime.consoleAPICalled" -> {
        if (List.of("error", "warning").contains(params.text("type").orElse(""))) {
          complaints.add(params.toString());
        }
      }
      default -> {}
    }
  }

  /** Takes the tab away: a page left behind would go on asking for its server. */
  @Override
  public void close() {
    call("Page.close", Facts.NONE);
    socket.join().abort();
  }

  /** Joins the pieces of messages. */
  private final class Ear implements WebSocket.Listener {
    private final StringBuilder pieces = new StringBuilder();

    @Override
    public CompletionStage<?> onText(WebSocket webSocket, CharSequence data, boolean last) {
      pieces.append(data);
      if (last) {
        String message = pieces.toString();
        pieces.setLength(0);
        took(message);
      }
      webSocket.request(1);
      return CompletableFuture.completedFuture(null);
    }
  }
}
