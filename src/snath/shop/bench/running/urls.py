"""Addresses of what a job's machine does, in the order of the work."""

from django.urls import path

from snath.shop.bench.running import balance, checks, governor, overview, setting, stop, throw

urlpatterns = [
    path("<int:number>/running/", overview.overview, name="job-running"),
    path("<int:number>/running/checks/", checks.checks, name="job-checks"),
    path("<int:number>/running/governor/", governor.governor, name="job-governor"),
    path("<int:number>/running/setting/", setting.setting, name="job-setting"),
    path("<int:number>/running/stop/", stop.stop, name="job-stop"),
    path("<int:number>/running/throw/", throw.throw, name="job-throw"),
    path("<int:number>/running/throw/customer/", throw.for_customer, name="job-throw-customer"),
    path("<int:number>/running/balance/", balance.balance, name="job-balance"),
]
