from django.urls import path

from inventory.views import mail

urlpatterns = [path("barns/<slug:slug>/mail/", mail.mail, name="mail")]
