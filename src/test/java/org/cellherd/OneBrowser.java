package org.cellherd;

import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.extension.AfterAllCallback;
import org.junit.jupiter.api.extension.AfterEachCallback;
import org.junit.jupiter.api.extension.BeforeAllCallback;
import org.junit.jupiter.api.extension.BeforeEachCallback;
import org.junit.jupiter.api.extension.ExtensionContext;

/** One browser for all tests of a class, and a tab of its own for each; a static field. */
public final class OneBrowser
    implements BeforeAllCallback, AfterAllCallback, BeforeEachCallback, AfterEachCallback {

  private @Nullable Browser browser;
  private @Nullable BrowserTab tab;

  /** The tab of the test that runs. */
  public BrowserTab tab() {
    if (tab == null) {
      throw new IllegalStateException("no test runs");
    }
    return tab;
  }

  /** Another tab, which the test closes. */
  public BrowserTab another() {
    if (browser == null) {
      throw new IllegalStateException("no test runs");
    }
    return browser.tab();
  }

  @Override
  public void beforeAll(ExtensionContext context) {
    browser = Browser.start();
  }

  @Override
  public void beforeEach(ExtensionContext context) {
    tab = another();
  }

  @Override
  public void afterEach(ExtensionContext context) {
    if (tab != null) {
      tab.close();
    }
  }

  @Override
  public void afterAll(ExtensionContext context) {
    if (browser != null) {
      browser.close();
    }
  }
}
